/** Tells every screen when what a rig has and lacks has changed: by an entry at once, by the clock within half a minute. */
import type { RigReadiness } from '#core/messages/api-journal';
import type { RigAddress } from '#core/topics/topics';
import type { Announcements } from './announcements.ts';
import { keyOf } from './rig-board.ts';
import type { StreamHub } from './stream-hub.ts';

export interface ReadinessTellerOptions {
  readonly readiness: (addresses: readonly RigAddress[]) => readonly RigReadiness[];
  readonly rigs: () => readonly RigAddress[];
  readonly announcements: Announcements;
  readonly hub: StreamHub;
}

const SWEEP_MS = 30_000;

export class ReadinessTeller {
  private readonly options: ReadinessTellerOptions;
  private readonly told = new Map<string, string>();
  private timer: NodeJS.Timeout | null = null;
  private count = 0;

  constructor(options: ReadinessTellerOptions) {
    this.options = options;
  }

  start(): void {
    this.timer ??= setInterval(() => this.sweep(), SWEEP_MS);
  }

  stop(): void {
    if (this.timer) clearInterval(this.timer);
    this.timer = null;
  }

  /** Nobody looks: nothing is computed, and the next reader begins with the whole picture. */
  sweep(): void {
    if (this.options.hub.readerCount === 0) {
      this.told.clear();
      return;
    }
    this.tellThose(this.options.rigs());
  }

  tell(rig: RigAddress): void {
    this.tellThose([rig]);
  }

  private tellThose(rigs: readonly RigAddress[]): void {
    const { readiness, announcements, hub } = this.options;
    for (const now of readiness(rigs)) {
      const content = JSON.stringify(now);
      const key = keyOf(now);
      if (this.told.get(key) === content) continue;
      this.told.set(key, content);
      this.count++;
      const told = announcements.tell('readiness', `readiness ${this.count}`, now);
      if (told) hub.announce(told);
    }
  }
}

/** Records that did not pass their checks, as alarms: evidence of one rig that someone has to look after. */
import type { AlarmAbout } from '#core/messages/api-alarm';
import type { InternalEvent } from '../internal-events.ts';
import type { AlarmDesk } from './alarm-desk.ts';

export interface InternalWatchOptions {
  readonly desk: AlarmDesk;
  readonly now: () => Date;
  readonly monotonicMs: () => number;
}

const PREFIX = 'own intake ';
/** A record that fails its check is over at once; the condition lasts this long after the last. Our own choice. */
const LASTS_MS = 60_000;

const TEXTS: Readonly<Partial<Record<InternalEvent, string>>> = {
  recordHashMismatch: 'A record did not carry the hash of its content: it was refused.',
  recordOtherRig: 'A record of another rig came on this rig’s topic: it was refused.',
  recordOriginMismatch: 'A record names two origins: it was refused.',
  recordBodyUnreadable: 'A record is kept, but its content cannot be read.',
  chunkUnreadable: 'Samples of a record cannot be decoded: the record is kept as it came.',
  identityConflict: 'Two different records carry one number: both are kept.',
  chainBroken: 'A record does not follow the one before it: it is kept, not acknowledged.',
  passForeign: 'A record holds a pass of another rig: it was left out.',
  intakeFull: 'More records come than the store takes: they are left for the edges to send again.',
};
const ACTION =
  'Tell the data manager: the log of the dashboard names the record. Nothing that was stored is lost.';

export class InternalWatch {
  private readonly options: InternalWatchOptions;
  private readonly lastMs = new Map<string, number>();

  constructor(options: InternalWatchOptions) {
    this.options = options;
  }

  /** What was wrong when the dashboard last ran is said again if it is still so. */
  start(): void {
    this.options.desk.takeAll(identity => identity.startsWith(PREFIX), []);
  }

  /** Every internal event; handled after the work that reported it is done. */
  readonly onEvent = (name: InternalEvent, fields: Readonly<Record<string, unknown>>): void => {
    const text = TEXTS[name];
    if (text !== undefined) queueMicrotask(() => this.take(text, fields));
  };

  tick(): void {
    const nowMs = this.options.monotonicMs();
    for (const [identity, lastMs] of this.lastMs) {
      if (nowMs - lastMs < LASTS_MS) continue;
      this.lastMs.delete(identity);
      this.options.desk.clear(identity);
    }
  }

  private take(text: string, { site, rig }: Readonly<Record<string, unknown>>): void {
    const { desk, now, monotonicMs } = this.options;
    const address = typeof site === 'string' && typeof rig === 'string' ? { site, rig } : NOBODY;
    const identity = `${PREFIX}${address.site ?? '-'}/${address.rig ?? '-'}`;
    this.lastMs.set(identity, monotonicMs());
    const about: AlarmAbout = {
      ...address,
      cause: 'intakeTrouble',
      origin: null,
      priority: 'medium',
      work: null,
      quantities: [],
      place: null,
      text,
      action: ACTION,
    };
    desk.raise({ identity, about, sinceMs: now().getTime() });
  }
}

const NOBODY = { site: null, rig: null };

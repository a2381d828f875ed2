/**
 * Server-Sent Events to many readers. One coalesced `live` frame a tick with the newest of each rig, written
 * once and sent to all. A reader whose buffer is not drained gets no further live frames until it is, then the
 * newest of all it missed with `thinned`; one that stays behind is closed and may resume by Last-Event-ID.
 */
import type { ServerResponse } from 'node:http';
import type { Rig } from '#core/messages/api';
import type { AlarmPicture } from '#core/messages/api-alarm';
import type { Live } from '#core/messages/live';
import type { TruckState } from '#core/messages/truck';
import type { RigAddress } from '#core/topics/topics';
import type { ReportEvent } from '../internal-events.ts';
import type { Announcement, Announcements } from './announcements.ts';
import { keyOf } from './rig-board.ts';

export interface StreamHubOptions {
  readonly announcements: Announcements;
  readonly maxClients: number;
  readonly report: ReportEvent;
  readonly now: () => Date;
  readonly rigs: () => Rig[];
}

const TICK_MS = 100;
const PING_TICKS = 150;
/** Above this much waiting in a reader's buffer live frames pass it over, bytes. */
const THIN_ABOVE = 65_536;
/** Above this it is closed. */
const DROP_ABOVE = 1_048_576;

interface Reader {
  readonly response: ServerResponse;
  /** Rigs whose newest this reader has not been sent. */
  readonly missedLive: Set<string>;
  readonly missedRigs: Set<string>;
  missedAlarms: boolean;
}

export class StreamHub {
  private readonly options: StreamHubOptions;
  private readonly readers = new Set<Reader>();
  private readonly newestLive = new Map<string, { site: string; rig: string; live: Live }>();
  private readonly newestRig = new Map<string, Rig>();
  private dirtyLive = new Set<string>();
  private dirtyRigs = new Set<string>();
  private newestAlarms: AlarmPicture | null = null;
  private timer: NodeJS.Timeout | null = null;
  private ticks = 0;
  private newestTruck: TruckState | null = null;

  constructor(options: StreamHubOptions) {
    this.options = options;
  }

  get readerCount(): number {
    return this.readers.size;
  }

  /** False when there are too many readers already. */
  add(response: ServerResponse, lastEventId: string | null): boolean {
    const { maxClients, report, announcements, now, rigs } = this.options;
    if (this.readers.size >= maxClients) {
      report('streamClientRefused');
      return false;
    }
    const reader: Reader = { response, missedLive: new Set(), missedRigs: new Set(), missedAlarms: false };
    response.writeHead(200, { 'content-type': 'text/event-stream', 'cache-control': 'no-store' });
    response.write(`retry: 2000\n\n${frame('rigs', { serverUtc: now().toISOString(), rigs: rigs() })}`);
    if (this.newestTruck) response.write(frame('truck', this.newestTruck));
    if (this.newestAlarms) response.write(frame('alarms', this.newestAlarms));
    if (lastEventId !== null) {
      for (const announcement of announcements.since(lastEventId)) response.write(announced(announcement));
    }
    response.on('close', () => {
      this.readers.delete(reader);
      if (this.readers.size === 0) this.rest();
    });
    // A socket that breaks while being written to closes, which is all there is to say.
    response.on('error', () => {});
    this.readers.add(reader);
    this.timer ??= setInterval(() => this.tick(), TICK_MS);
    return true;
  }

  live(address: RigAddress, live: Live): void {
    const key = keyOf(address);
    this.newestLive.set(key, { site: address.site, rig: address.rig, live });
    if (this.readers.size > 0) this.dirtyLive.add(key);
  }

  rig(rig: Rig): void {
    const key = keyOf(rig);
    this.newestRig.set(key, rig);
    if (this.readers.size > 0) this.dirtyRigs.add(key);
  }

  /** What is wrong at the truck has changed. */
  truck(state: TruckState): void {
    this.newestTruck = state;
    this.send(frame('truck', state));
  }

  /** At once, not with the tick: the newest is all a reader needs. */
  alarms(picture: AlarmPicture): void {
    this.newestAlarms = picture;
    const text = frame('alarms', picture);
    for (const reader of this.readers) {
      if (reader.response.writableLength > THIN_ABOVE) reader.missedAlarms = true;
      else reader.response.write(text);
    }
  }

  announce(announcement: Announcement): void {
    this.send(announced(announcement));
  }

  stop(): void {
    this.rest();
    for (const { response } of this.readers) response.end();
  }

  private send(text: string): void {
    for (const reader of this.readers) {
      reader.response.write(text);
      this.dropIfStuck(reader);
    }
  }

  private rest(): void {
    if (this.timer) clearInterval(this.timer);
    this.timer = null;
    this.dirtyLive.clear();
    this.dirtyRigs.clear();
  }

  private tick(): void {
    this.ticks++;
    const live = this.dirtyLive;
    const rigs = this.dirtyRigs;
    this.dirtyLive = new Set();
    this.dirtyRigs = new Set();
    const common = this.frames(rigs, live, false) + (this.ticks % PING_TICKS === 0 ? ': ping\n\n' : '');
    for (const reader of this.readers) {
      const behind = reader.missedLive.size > 0 || reader.missedRigs.size > 0 || reader.missedAlarms;
      if (!behind && common === '') continue;
      if (reader.response.writableLength > THIN_ABOVE) {
        if (!behind) this.options.report('streamClientThinned');
        for (const key of live) reader.missedLive.add(key);
        for (const key of rigs) reader.missedRigs.add(key);
        continue;
      }
      if (behind) {
        const text = this.frames(
          new Set([...reader.missedRigs, ...rigs]),
          new Set([...reader.missedLive, ...live]),
          true,
        );
        reader.missedLive.clear();
        reader.missedRigs.clear();
        reader.response.write(reader.missedAlarms ? frame('alarms', this.newestAlarms) + text : text);
        reader.missedAlarms = false;
      } else reader.response.write(common);
    }
  }

  private frames(rigs: ReadonlySet<string>, live: ReadonlySet<string>, thinned: boolean): string {
    let text = '';
    for (const key of rigs) text += frame('rig', this.newestRig.get(key));
    if (live.size > 0)
      text += frame('live', { thinned, rigs: [...live].map(key => this.newestLive.get(key)) });
    return text;
  }

  private dropIfStuck(reader: Reader): void {
    if (reader.response.writableLength <= DROP_ABOVE) return;
    this.options.report('streamClientDropped');
    this.readers.delete(reader);
    reader.response.destroy();
  }
}

/** JSON has no line break of its own, so one `data:` line carries it. */
function frame(event: string, data: unknown): string {
  return `event: ${event}\ndata: ${JSON.stringify(data)}\n\n`;
}

function announced({ id, name, data }: Announcement): string {
  return `id: ${id}\nevent: ${name}\ndata: ${data}\n\n`;
}

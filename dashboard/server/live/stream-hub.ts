/**
 * Server-Sent Events to many readers. One coalesced `live` frame a tick with the newest of each rig, written
 * once and sent to all. A reader that has not taken the last one gets no further live frame until it has, then the
 * newest of all it missed; one that stays behind is given them less often and told so, one that reads nothing is
 * closed and may resume by Last-Event-ID. Announcements wait here once for all, and each reader goes through them
 * at its own pace: none is left out, and no reader's buffer grows.
 */
import type { ServerResponse } from 'node:http';
import type { Rig } from '#core/messages/api';
import type { AlarmPicture } from '#core/messages/api-alarm';
import type { Live } from '#core/messages/live';
import type { StreamPace } from '#core/messages/stream-pace';
import { STREAM_PACES_MS } from '#core/messages/stream-paces';
import type { TruckState } from '#core/messages/truck';
import type { RigAddress } from '#core/topics/topics';
import type { ReportEvent } from '../internal-events.ts';
import type { Announcement, Announcements } from './announcements.ts';
import { keyOf } from './rig-board.ts';
import { StreamReader, TICK_MS } from './stream-reader.ts';

export interface StreamHubOptions {
  readonly announcements: Announcements;
  readonly maxClients: number;
  readonly report: ReportEvent;
  readonly now: () => Date;
  readonly rigs: () => Rig[];
  readonly monotonicMs?: () => number;
}

/** Every reader hears the pace once a second: a sign of life, and the measure of how late it is. */
const PACE_TICKS = 10;
/** Above this much waiting in a reader's buffer nothing more is put into it, bytes. */
const FULL = 65_536;

export class StreamHub {
  private readonly options: StreamHubOptions;
  private readonly monotonicMs: () => number;
  private readonly readers = new Set<StreamReader>();
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
    this.monotonicMs = options.monotonicMs ?? (() => performance.now());
  }

  get readerCount(): number {
    return this.readers.size;
  }

  /** Those that are given live values less often than the first. */
  get thinnedCount(): number {
    return [...this.readers].filter(({ thinned }) => thinned).length;
  }

  /** Bytes that wait for readers, all together. */
  get waitingBytes(): number {
    return [...this.readers].reduce((sum, { waiting }) => sum + waiting, 0);
  }

  /** False when there are too many readers already. `everyMs`: how often the reader asks to be given live values. */
  add(response: ServerResponse, lastEventId: string | null, everyMs: number = STREAM_PACES_MS[0]): boolean {
    const { maxClients, report, announcements, now, rigs } = this.options;
    if (this.readers.size >= maxClients) {
      report('streamClientRefused');
      return false;
    }
    // Of another run or too long ago: the picture covers it.
    const resumed = lastEventId === null ? null : announcements.numberOf(lastEventId);
    const told = resumed ?? announcements.last;
    const reader = new StreamReader(response, { told, now: this.ticks, everyMs });
    response.writeHead(200, { 'content-type': 'text/event-stream', 'cache-control': 'no-store' });
    response.write(
      `retry: 2000\n\n${this.paceFrame(reader.everyMs)}${frame('rigs', { serverUtc: now().toISOString(), rigs: rigs() })}`,
    );
    if (this.newestTruck) response.write(frame('truck', this.newestTruck));
    if (this.newestAlarms) response.write(frame('alarms', this.newestAlarms));
    response.on('close', () => this.leave(reader));
    // A socket that breaks while being written to closes, which is all there is to say.
    response.on('error', () => {});
    this.readers.add(reader);
    this.announceTo(reader);
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

  /** What is wrong at the truck has changed. At once, not with the tick: the newest is all a reader needs. */
  truck(state: TruckState): void {
    this.newestTruck = state;
    this.toAll(frame('truck', state), reader => {
      reader.missedTruck = true;
    });
  }

  alarms(picture: AlarmPicture): void {
    this.newestAlarms = picture;
    this.toAll(frame('alarms', picture), reader => {
      reader.missedAlarms = true;
    });
  }

  /** Something was added to the announcements. */
  announce(_announcement: Announcement): void {
    for (const reader of this.readers) this.announceTo(reader);
  }

  stop(): void {
    this.rest();
    for (const { response } of this.readers) response.end();
  }

  private toAll(text: string, missed: (reader: StreamReader) => void): void {
    const bytes = Buffer.from(text);
    for (const reader of this.readers) {
      if (reader.waiting > FULL) missed(reader);
      else reader.response.write(bytes);
    }
  }

  /** In order, as far as there is room; what is left goes with a later tick. */
  private announceTo(reader: StreamReader): void {
    const { announcements } = this.options;
    while (reader.told < announcements.last && reader.waiting <= FULL) {
      const next = announcements.at(reader.told + 1);
      if (next === null) {
        // So far behind that the next is not kept any more: it begins anew with the whole picture.
        this.drop(reader, 'farBehind');
        return;
      }
      reader.response.write(announced(next));
      reader.told = next.n;
    }
  }

  private leave(reader: StreamReader): void {
    this.readers.delete(reader);
    if (this.readers.size === 0) this.rest();
  }

  private drop(reader: StreamReader, cause: 'stuck' | 'farBehind'): void {
    this.options.report('streamClientDropped', { cause, waiting: reader.waiting });
    this.leave(reader);
    reader.response.destroy();
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
    const signOfLife = this.ticks % PACE_TICKS === 0;
    const text = this.frames(rigs, live, false) + (signOfLife ? this.paceFrame(STREAM_PACES_MS[0]) : '');
    const common = text === '' ? null : Buffer.from(text);
    for (const reader of this.readers) {
      const before = reader.everyMs;
      const turn = reader.turn(this.ticks);
      if (reader.everyMs > before) this.options.report('streamClientThinned', { everyMs: reader.everyMs });
      if (turn === 'stuck') {
        this.drop(reader, 'stuck');
        continue;
      }
      if (turn === 'due' && !reader.behind && !reader.thinned && !reader.paceIsNews) {
        if (common !== null) reader.response.write(common);
      } else {
        for (const key of live) reader.missedLive.add(key);
        for (const key of rigs) reader.missedRigs.add(key);
        if (turn === 'due') this.catchUp(reader, signOfLife);
      }
      this.announceTo(reader);
    }
  }

  /** The newest of all that a reader missed. */
  private catchUp(reader: StreamReader, signOfLife: boolean): void {
    const tellsPace = reader.thinned || reader.paceIsNews || signOfLife;
    let text = tellsPace ? this.paceFrame(reader.everyMs) : '';
    if (reader.missedAlarms) text += frame('alarms', this.newestAlarms);
    if (reader.missedTruck) text += frame('truck', this.newestTruck);
    text += this.frames(reader.missedRigs, reader.missedLive, true);
    reader.missedLive.clear();
    reader.missedRigs.clear();
    reader.missedAlarms = false;
    reader.missedTruck = false;
    reader.paceIsNews = false;
    if (text !== '') reader.response.write(text);
  }

  private frames(rigs: ReadonlySet<string>, live: ReadonlySet<string>, thinned: boolean): string {
    let text = '';
    for (const key of rigs) text += frame('rig', this.newestRig.get(key));
    if (live.size > 0)
      text += frame('live', { thinned, rigs: [...live].map(key => this.newestLive.get(key)) });
    return text;
  }

  private paceFrame(everyMs: number): string {
    return frame('pace', { everyMs, sentMs: Math.round(this.monotonicMs()) } satisfies StreamPace);
  }
}

/** JSON has no line break of its own, so one `data:` line carries it. */
function frame(event: string, data: unknown): string {
  return `event: ${event}\ndata: ${JSON.stringify(data)}\n\n`;
}

function announced({ id, name, data }: Announcement): string {
  return `id: ${id}\nevent: ${name}\ndata: ${data}\n\n`;
}

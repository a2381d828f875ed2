/**
 * Takes the records of one store over into another, stream by stream, in order. Where it goes on is where the other
 * store stands: there is no cursor of its own to be lost, and what was taken over twice is a duplicate.
 */
import type { RecordMessage } from '#core/messages/record';
import type { RigAddress } from '#core/topics/topics';
import type { IntakeStore } from '../ingest/record-intake.ts';
import type { RecordStore, StreamMark } from '../store/record-store.ts';

export interface RecordFollowerOptions {
  readonly from: Pick<RecordStore, 'watermarks' | 'recordsBehind'>;
  readonly to: Pick<IntakeStore, 'streamState' | 'startStreamAt'>;
  /** Resolves when what could be kept of them is kept. */
  readonly take: (address: RigAddress, records: readonly RecordMessage[]) => Promise<void>;
  /** Called for each page with the number of records. */
  readonly onTaken: (count: number) => void;
  /** Every time the other store gives nothing because it cannot. */
  readonly onFailed: (error: Error, retryMs: number) => void;
}

const PAGE = 200;
const IDLE_MS = 1000;
const RETRY_MIN_MS = 500;
const RETRY_MAX_MS = 30_000;

export class RecordFollower {
  private readonly options: RecordFollowerOptions;
  private timer: NodeJS.Timeout | null = null;
  private running: Promise<void> = Promise.resolve();
  private stopped = false;
  private retryMs = RETRY_MIN_MS;
  /** How far each stream has been taken over, so that only those that moved are looked at. */
  private readonly reached = new Map<string, number>();

  constructor(options: RecordFollowerOptions) {
    this.options = options;
  }

  start(): void {
    this.schedule(0);
  }

  async stop(): Promise<void> {
    this.stopped = true;
    if (this.timer) clearTimeout(this.timer);
    await this.running;
  }

  /** All that is there now, once; rejects where it cannot be read or kept. */
  async catchUp(): Promise<void> {
    while (await this.round());
  }

  private schedule(delayMs: number): void {
    if (this.stopped) return;
    this.timer = setTimeout(() => {
      this.running = this.step();
    }, delayMs);
  }

  private async step(): Promise<void> {
    try {
      const more = await this.round();
      this.retryMs = RETRY_MIN_MS;
      this.schedule(more ? 0 : IDLE_MS);
    } catch (error) {
      this.options.onFailed(error as Error, this.retryMs);
      this.schedule(this.retryMs);
      this.retryMs = Math.min(2 * this.retryMs, RETRY_MAX_MS);
    }
  }

  /** One page of each stream that has moved, so that a long one holds up no other; true when there may be more. */
  private async round(): Promise<boolean> {
    let more = false;
    for (const mark of await this.options.from.watermarks()) {
      if (this.stopped) return false;
      if (mark.first === null || mark.upto <= (this.reached.get(keyOf(mark)) ?? -1)) continue;
      more = (await this.page(mark, mark.first)) || more;
    }
    return more;
  }

  private async page(mark: StreamMark, first: number): Promise<boolean> {
    const { from, to, take, onTaken } = this.options;
    const before = await to.streamState(mark, mark.stream);
    const seq = before === null || before.first === null ? first - 1 : before.upto;
    if (seq >= mark.upto) {
      this.reached.set(keyOf(mark), seq);
      return false;
    }
    const records = await from.recordsBehind(mark, mark.stream, seq, PAGE);
    await take(mark, records);
    onTaken(records.length);
    const after =
      first > 1 && before?.first == null
        ? ((await to.startStreamAt(mark, mark.stream, first)) ?? (await to.streamState(mark, mark.stream)))
        : await to.streamState(mark, mark.stream);
    // One that is not taken is not tried in a hurry.
    return after !== null && after.first !== null && after.upto > seq && after.upto < mark.upto;
  }
}

function keyOf({ site, rig, stream }: StreamMark): string {
  return `${site}/${rig}/${stream}`;
}

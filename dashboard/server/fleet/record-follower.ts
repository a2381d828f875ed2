/**
 * Takes the records of one store over into another, stream by stream, in order. Where it goes on is where the other
 * store stands: there is no cursor of its own to be lost, and what was taken over twice is a duplicate.
 */
import type { RecordMessage } from '#core/messages/record';
import type { RigAddress } from '#core/topics/topics';
import type { IntakeStore } from '../ingest/record-intake.ts';
import { StepLoop } from '../step-loop.ts';
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

export class RecordFollower {
  private readonly options: RecordFollowerOptions;
  private readonly loop: StepLoop;
  /** How far each stream has been taken over, so that only those that moved are looked at. */
  private readonly reached = new Map<string, number>();

  constructor(options: RecordFollowerOptions) {
    this.options = options;
    this.loop = new StepLoop({ step: () => this.round(), onFailed: options.onFailed });
  }

  start(): void {
    this.loop.start();
  }

  stop(): Promise<void> {
    return this.loop.stop();
  }

  /** All that is there now, once; rejects where it cannot be read or kept. */
  async catchUp(): Promise<void> {
    while (await this.round());
  }

  /** One page of each stream that has moved, so that a long one holds up no other; true when there may be more. */
  private async round(): Promise<boolean> {
    let more = false;
    for (const mark of await this.options.from.watermarks()) {
      if (this.loop.isStopped) return false;
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

/**
 * A counter moves in steps: between two counts it stands still, and a step is no speed. Each count is spread
 * over the samples before it, back to the count before, at most 0.5 s; a counter that stands longer stands.
 * Lengths stay exact; a cell that cannot be read is bridged the same way; a count that was set back is no length. Only
 * for channels that give a length and no speed; samples wait here until their count is known.
 */
import type { Channel } from '../sample/channels.ts';
import { concatChunks, type SampleChunk, sliceChunk } from '../sample/chunk.ts';
import { wasSetBack } from './was-set-back.ts';

/** Cumulative channels and the speed that makes them unnecessary. */
const COUNTERS: readonly (readonly [Channel, Channel])[] = [
  ['travelDistance', 'travelSpeed'],
  ['wireLength', 'wireFeedSpeed'],
];
const SPREAD_US = 500_000;
/** Nothing is spread over an interval longer than this: the least gap of the engine. */
const GAP_US = 250_000;

/** How far one counter is settled. */
interface Counter {
  readonly channel: Channel;
  /** Rows of `waiting` whose value is final. */
  settled: number;
  /** The last final count, and when. */
  atUs: number;
  value: number;
}

const EMPTY: SampleChunk = { n: 0, tUs: new Float64Array(0), lengthUs: null, columns: {} };

export class CountSpreader {
  private waiting: SampleChunk = EMPTY;
  private readonly counters = new Map<Channel, Counter>();

  /** The samples whose counts are known once `chunk` has arrived. */
  push(chunk: SampleChunk): SampleChunk {
    const channels = COUNTERS.flatMap(([count, speed]) =>
      chunk.columns[count] && !chunk.columns[speed] ? [count] : [],
    );
    if (chunk.n === 0 || (channels.length === 0 && this.waiting.n === 0)) return chunk;
    const from = this.waiting.n;
    const rows = concatChunks(from > 0 ? [this.waiting, chunk] : [chunk]);
    let release = rows.n;
    for (const channel of channels) {
      const counter = this.counterOf(channel, rows);
      settle(counter, rows, from);
      release = Math.min(release, counter.settled);
    }
    return this.release(rows, release);
  }

  /** What waits, as it stands. */
  flush(): SampleChunk {
    return this.release(this.waiting, this.waiting.n);
  }

  private counterOf(channel: Channel, rows: SampleChunk): Counter {
    let counter = this.counters.get(channel);
    if (!counter) {
      counter = { channel, settled: 0, atUs: rows.tUs[0]!, value: rows.columns[channel]![0]! };
      this.counters.set(channel, counter);
    }
    return counter;
  }

  private release(rows: SampleChunk, count: number): SampleChunk {
    this.waiting = sliceChunk(rows, count, rows.n);
    for (const counter of this.counters.values()) counter.settled = Math.max(0, counter.settled - count);
    return sliceChunk(rows, 0, count);
  }
}

/** Settles what the rows from `from` on decide; their column is changed in place. */
function settle(counter: Counter, rows: SampleChunk, from: number): void {
  const { tUs } = rows;
  const column = rows.columns[counter.channel]!;
  for (let i = from; i < rows.n; i++) {
    const t = tUs[i]!;
    const value = column[i]!;
    const first = i === 0 ? counter.atUs : tUs[i - 1]!;
    if (t - first > GAP_US) {
      counter.settled = i + 1;
      counter.atUs = t;
      counter.value = value;
    } else if (!Number.isNaN(value) && value !== counter.value) {
      const step = value - counter.value;
      const spanUs = t - counter.atUs;
      for (let j = counter.settled; j < i && !wasSetBack(counter.value, value); j++) {
        column[j] = counter.value + (step * (tUs[j]! - counter.atUs)) / spanUs;
      }
      counter.settled = i + 1;
      counter.atUs = t;
      counter.value = value;
    } else {
      while (counter.settled < i && t - tUs[counter.settled]! > SPREAD_US) {
        counter.atUs = tUs[counter.settled]!;
        counter.settled++;
      }
    }
  }
}

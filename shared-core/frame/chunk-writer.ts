/**
 * Columns that decoders fill sample by sample and hand on as chunks without copying: chunks are views of
 * one block, a full block is left to its readers and a new one begun, nothing written is written again.
 */
import type { Channel } from '../sample/channels.ts';
import type { SampleChunk } from '../sample/chunk.ts';

const BLOCK_SAMPLES = 1024;

/** `none`: samples hold until the next one · `each`: written with the sample · a number: all the same, µs. */
export type IntervalLengths = 'none' | 'each' | number;

export class ChunkWriter {
  tUs: Float64Array;
  /** To be written where lengths are `each`. */
  lengthUs: Float64Array;
  /** In the order of `channels`. */
  readonly columns: Float64Array[];
  /** Where the next sample goes. */
  at = 0;
  private readonly channels: readonly Channel[];
  private readonly lengths: IntervalLengths;
  private from = 0;

  constructor(channels: readonly Channel[], lengths: IntervalLengths) {
    this.channels = channels;
    this.lengths = lengths;
    this.tUs = new Float64Array(0);
    this.lengthUs = new Float64Array(typeof lengths === 'number' ? BLOCK_SAMPLES : 0);
    if (typeof lengths === 'number') this.lengthUs.fill(lengths);
    this.columns = channels.map(() => new Float64Array(0));
  }

  /** True when `count` more samples fit; else take() what there is and begin() a block. */
  fits(count: number): boolean {
    return this.at + count <= this.tUs.length;
  }

  begin(): void {
    // One allocation for all: a block costs its zeroing, not its number of columns.
    const count = this.channels.length + (this.lengths === 'each' ? 2 : 1);
    const buffer = new ArrayBuffer(count * BLOCK_SAMPLES * 8);
    const column = (i: number): Float64Array =>
      new Float64Array(buffer, i * BLOCK_SAMPLES * 8, BLOCK_SAMPLES);
    for (let c = 0; c < this.channels.length; c++) this.columns[c] = column(c);
    this.tUs = column(this.channels.length);
    if (this.lengths === 'each') this.lengthUs = column(count - 1);
    this.at = 0;
    this.from = 0;
  }

  /** What was written since the last take, or null. */
  take(): SampleChunk | null {
    const { from, at } = this;
    if (at === from) return null;
    const columns: { [K in Channel]?: Float64Array } = {};
    for (let c = 0; c < this.channels.length; c++) {
      columns[this.channels[c]!] = view(this.columns[c]!, from, at);
    }
    this.from = at;
    return {
      n: at - from,
      tUs: view(this.tUs, from, at),
      lengthUs: this.lengths === 'none' ? null : view(this.lengthUs, from, at),
      columns,
    };
  }
}

/** subarray() at half its cost. */
function view(column: Float64Array, from: number, to: number): Float64Array {
  return new Float64Array(column.buffer, column.byteOffset + from * 8, to - from);
}

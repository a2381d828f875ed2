/**
 * Columns that decoders fill sample by sample and hand on as chunks without copying: chunks are views of
 * one block, a full block is left to its readers and a new one begun, nothing written is written again.
 */
import type { Channel } from '../sample/channels.ts';
import type { SampleChunk } from '../sample/chunk.ts';

const BLOCK_SAMPLES = 1024;

export class ChunkWriter {
  tUs: Float64Array;
  lengthUs: Float64Array;
  /** In the order of `channels`. */
  columns: Float64Array[];
  /** Where the next sample goes. */
  at = 0;
  private readonly channels: readonly Channel[];
  private readonly timed: boolean;
  private from = 0;

  /** `timed` false: samples hold until the next one, `lengthUs` is not handed on. */
  constructor(channels: readonly Channel[], timed: boolean) {
    this.channels = channels;
    this.timed = timed;
    this.tUs = new Float64Array(0);
    this.lengthUs = new Float64Array(0);
    this.columns = channels.map(() => new Float64Array(0));
  }

  /** True when `count` more samples fit; else take() what there is and begin() a block. */
  fits(count: number): boolean {
    return this.at + count <= this.tUs.length;
  }

  begin(): void {
    // One allocation for all: a block costs its zeroing, not its number of columns.
    const count = this.channels.length + (this.timed ? 2 : 1);
    const buffer = new ArrayBuffer(count * BLOCK_SAMPLES * 8);
    const column = (i: number): Float64Array =>
      new Float64Array(buffer, i * BLOCK_SAMPLES * 8, BLOCK_SAMPLES);
    for (let c = 0; c < this.channels.length; c++) this.columns[c] = column(c);
    this.tUs = column(this.channels.length);
    this.lengthUs = this.timed ? column(count - 1) : new Float64Array(0);
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
      lengthUs: this.timed ? view(this.lengthUs, from, at) : null,
      columns,
    };
  }
}

/** subarray() at half its cost. */
function view(column: Float64Array, from: number, to: number): Float64Array {
  return new Float64Array(column.buffer, column.byteOffset + from * 8, to - from);
}

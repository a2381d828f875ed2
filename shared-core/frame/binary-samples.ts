/**
 * Samples of binary data frames into columns: hot path, no object per sample or frame, column by column.
 */

import type { SampleChunk } from '../sample/chunk.ts';
import { MAX_BODY } from './binary-layout.ts';
import { ChunkWriter, type IntervalLengths } from './chunk-writer.ts';
import { type FieldLayout, UNKNOWN_RAW } from './device-announcement.ts';
import type { FrameCounters } from './frame-counters.ts';
import type { ValueScaling } from './value-scaling.ts';

export class BinarySamples {
  /** Bytes of one sample. */
  readonly stride: number;
  private readonly fields: readonly FieldLayout[];
  private readonly counters: FrameCounters;
  private readonly eachLength: boolean;
  private readonly writer: ChunkWriter;
  private readonly rejected = new Uint8Array(MAX_BODY);

  constructor(fields: readonly FieldLayout[], lengths: IntervalLengths, counters: FrameCounters) {
    this.fields = fields;
    this.counters = counters;
    this.eachLength = lengths === 'each';
    this.stride = fields.reduce((sum, { width }) => sum + width, 0);
    const channels = fields.flatMap(({ scaling }) => (scaling === null ? [] : [scaling.channel]));
    this.writer = new ChunkWriter(channels, lengths);
  }

  fits(count: number): boolean {
    return this.writer.fits(count);
  }

  begin(): void {
    this.writer.begin();
  }

  take(): SampleChunk | null {
    return this.writer.take();
  }

  /** `count` samples that lie from bytes[first] on; there is room for them. */
  write(bytes: Uint8Array, first: number, startUs: number, lengthUs: number, count: number): void {
    const { writer, fields } = this;
    const { at, tUs, lengthUs: lengths, columns } = writer;
    for (let k = 0; k < count; k++) tUs[at + k] = startUs + k * lengthUs;
    if (this.eachLength) for (let k = 0; k < count; k++) lengths[at + k] = lengthUs;
    let anyRejected = false;
    let offset = first;
    let column = 0;
    for (let f = 0; f < fields.length; f++) {
      const field = fields[f]!;
      const { scaling } = field;
      if (
        scaling !== null &&
        this.writeColumn(field, scaling, columns[column++]!, at, bytes, offset, count)
      ) {
        anyRejected = true;
      }
      offset += field.width;
    }
    writer.at = anyRejected ? this.dropRejected(count) : at + count;
  }

  /** True when a value of it makes its sample worthless (marked in `rejected`). */
  private writeColumn(
    field: FieldLayout,
    scaling: ValueScaling,
    column: Float64Array,
    at: number,
    bytes: Uint8Array,
    offset: number,
    count: number,
  ): boolean {
    const { stride } = this;
    const { lo, hi } = field;
    const isShort = field.width === 2;
    const { multiply, add, stepsPerUnit } = scaling;
    const end = at + count;
    let p = offset;
    let anyRejected = false;
    if (isShort && scaling.direct) {
      // The common case apart: nothing to convert, nothing to round.
      for (let i = at; i < end; i++, p += stride) {
        const raw = ((bytes[p]! | (bytes[p + 1]! << 8)) << 16) >> 16;
        if (raw >= lo && raw <= hi) column[i] = raw / stepsPerUnit;
        else if (this.leaveOut(field, scaling, column, i, raw, i - at)) anyRejected = true;
      }
      return anyRejected;
    }
    for (let i = at; i < end; i++, p += stride) {
      const raw = isShort ? ((bytes[p]! | (bytes[p + 1]! << 8)) << 16) >> 16 : int32(bytes, p);
      if (raw >= lo && raw <= hi) column[i] = (Math.round(raw * multiply + add) + 0) / stepsPerUnit;
      else if (this.leaveOut(field, scaling, column, i, raw, i - at)) anyRejected = true;
    }
    return anyRejected;
  }

  /** An unknown or impossible value; true where its sample goes with it. */
  private leaveOut(
    { width }: FieldLayout,
    { rejectsSample }: ValueScaling,
    column: Float64Array,
    i: number,
    raw: number,
    k: number,
  ): boolean {
    column[i] = Number.NaN;
    if (raw === UNKNOWN_RAW[width]) return false;
    if (rejectsSample) this.rejected[k] = 1;
    else this.counters.impossibleValues++;
    return rejectsSample;
  }

  /** Closes the ranks over rejected samples of the frame just written; returns where the next sample goes. */
  private dropRejected(count: number): number {
    const { writer, rejected } = this;
    const { at, tUs, lengthUs, columns } = writer;
    let to = at;
    for (let k = 0; k < count; k++) {
      if (rejected[k] === 1) {
        rejected[k] = 0;
        this.counters.impossibleSamples++;
        continue;
      }
      tUs[to] = tUs[at + k]!;
      if (this.eachLength) lengthUs[to] = lengthUs[at + k]!;
      for (const column of columns) column[to] = column[at + k]!;
      to++;
    }
    return to;
  }
}

/** Little-endian, signed. */
export function int32(bytes: Uint8Array, at: number): number {
  return bytes[at]! | (bytes[at + 1]! << 8) | (bytes[at + 2]! << 16) | (bytes[at + 3]! << 24);
}

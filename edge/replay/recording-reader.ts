/**
 * Reads a delimited text recording into one ordered chunk. Rules: docs/replay.md.
 * Throws ReplayError for what stops the command; everything else is counted.
 */
import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { createInterface } from 'node:readline';
import { pipeline } from 'node:stream/promises';
import { possibleRange } from '#core/frame/value-scaling';
import { short } from '#core/program/short';
import { whyNotRead } from '#core/program/why-not-read';
import { CHANNELS, type Channel } from '#core/sample/channels';
import type { SampleChunk } from '#core/sample/chunk';
import { converter } from '#core/units/ucum';
import { type ChannelSource, type ColumnMap, mappedChannels } from './column-map.ts';
import { GrowingColumn } from './growing-column.ts';
import { readNumber, splitLine } from './line-cells.ts';
import { ReplayError } from './replay-error.ts';

export interface Recording {
  readonly sha256: string;
  /** Accepted rows, and rows refused. */
  readonly samples: number;
  readonly rejected: number;
  readonly outOfOrder: number;
  readonly duplicateTimes: number;
  /** In time order; times from the first sample on, or record times where the map gives them. */
  readonly chunk: SampleChunk;
  /** Label per sample of the chunk, where the map names a pass column. */
  readonly labels: readonly (string | null)[] | null;
  /** As the map says, else the median of the sample intervals, s; null with fewer than two samples. */
  readonly samplePeriodS: number | null;
  /** More negative than positive among currents beyond the stop threshold. */
  readonly currentMostlyNegative: boolean;
}

/** Rows may be this far behind the newest, and this many in a row further behind stop the reading. */
const REORDER_US = 1e6;
const MAX_LATE_ROWS = 50;

interface Reader {
  readonly channel: Channel;
  readonly read: (cells: readonly string[]) => number;
}

export async function readRecording(file: string, map: ColumnMap): Promise<Recording> {
  const sha256 = await hashFile(file);
  const rows = new RowCollector(file, map);
  const lines = createInterface({
    input: createReadStream(file, 'utf8'),
    crlfDelay: Number.POSITIVE_INFINITY,
  });
  let lineNumber = 0;
  try {
    for await (const line of lines)
      rows.add(lineNumber === 0 ? line.replace(/^\uFEFF/, '') : line, ++lineNumber);
  } finally {
    lines.close();
  }
  return rows.finish(sha256);
}

async function hashFile(file: string): Promise<string> {
  const hash = createHash('sha256');
  try {
    await pipeline(createReadStream(file), hash);
  } catch (error) {
    throw new ReplayError(`${file}: cannot be read: ${whyNotRead(error as Error)}`);
  }
  return hash.digest('hex');
}

class RowCollector {
  private readonly file: string;
  private readonly map: ColumnMap;
  private header: readonly string[] | null = null;
  private readTimeUs: ((cells: readonly string[]) => number) | null = null;
  private readLabel: ((cells: readonly string[]) => string | null) | null = null;
  /** Length of a row's averaging interval, s. */
  private readLengthS: ((cells: readonly string[]) => number) | null = null;
  private readers: Reader[] = [];
  private readonly tUs = new GrowingColumn();
  private readonly lengthUs = new GrowingColumn();
  private readonly columns: GrowingColumn[] = [];
  private readonly labels: (string | null)[] = [];
  private rejected = 0;
  /** Where and why the first row was refused. */
  private firstRefusal: string | null = null;
  private outOfOrder = 0;
  private lateInARow = 0;
  private newestUs = Number.NEGATIVE_INFINITY;
  private negative = 0;
  private positive = 0;

  constructor(file: string, map: ColumnMap) {
    this.file = file;
    this.map = map;
    if (!map.header) this.open(null);
  }

  add(line: string, lineNumber: number): void {
    if (line.trim() === '') return;
    const cells = splitLine(line, this.map.delimiter);
    if (this.readTimeUs === null) this.open(cells);
    else this.addRow(cells, lineNumber);
  }

  private open(header: readonly string[] | null): void {
    const { map } = this;
    this.header = header;
    const index = (column: number | string, key: string): number => {
      if (typeof column === 'number') return column;
      const at = header?.indexOf(column) ?? -1;
      if (at < 0)
        throw new ReplayError(
          `${this.file}: line 1 has no column "${short(column)}", which the map names for ${key}`,
        );
      return at;
    };
    const timeAt = index(map.time.column, 'time');
    const toS = converter(map.time.unit, 's');
    const timeScale = map.time.scale ?? 1;
    this.readTimeUs = cells => Math.round(1e6 * toS(readNumber(cells[timeAt]) * timeScale));
    this.readers = mappedChannels(map).map(([channel, from]) => ({
      channel,
      read: cellReader(channel, CHANNELS[channel].unit, from, index),
    }));
    if (map.sampleLength) this.readLengthS = cellReader('sampleLength', 's', map.sampleLength, index);
    for (const _ of this.readers) this.columns.push(new GrowingColumn());
    if (map.pass) {
      const labelAt = index(map.pass.column, 'pass');
      this.readLabel = cells => cells[labelAt] || null;
    }
  }

  private addRow(cells: readonly string[], lineNumber: number): void {
    const t = this.readTimeUs!(cells);
    if (!Number.isSafeInteger(t)) {
      this.reject(lineNumber, 'time', this.map.time.column, cells);
      return;
    }
    const values = this.readers.map(reader => reader.read(cells));
    for (let i = 0; i < this.readers.length; i++) {
      const { channel } = this.readers[i]!;
      const value = values[i]!;
      const [min, max] = possibleRange(channel);
      const isPossible = value >= min && value <= max;
      if (!isPossible && (channel === 'weldingCurrent' || channel === 'arcVoltage')) {
        this.reject(lineNumber, channel, this.map[channel]?.column, cells);
        return;
      }
      if (!isPossible) values[i] = Number.NaN;
      if (channel === 'weldingCurrent' && Math.abs(value) >= 15) {
        if (value < 0) this.negative++;
        else this.positive++;
      }
    }
    if (this.isLate(t, lineNumber)) return;
    this.tUs.push(t);
    if (this.readLengthS) {
      const lengthUs = Math.round(1e6 * this.readLengthS(cells));
      this.lengthUs.push(lengthUs >= 0 ? lengthUs : Number.NaN);
    }
    values.forEach((value, i) => {
      this.columns[i]!.push(value);
    });
    if (this.readLabel) this.labels.push(this.readLabel(cells));
  }

  private reject(
    lineNumber: number,
    key: string,
    column: number | string | undefined,
    cells: readonly string[],
  ): void {
    this.rejected++;
    if (this.firstRefusal !== null) return;
    const at = typeof column === 'string' ? (this.header?.indexOf(column) ?? -1) : (column ?? -1);
    const cell = cells[at];
    const what = cell === undefined ? 'is missing' : `is ${JSON.stringify(cell.slice(0, 40))}`;
    this.firstRefusal = `line ${lineNumber}, ${key} (column ${String(column ?? 'none, a constant')}) ${what}`;
  }

  private isLate(t: number, lineNumber: number): boolean {
    if (t < this.newestUs - REORDER_US) {
      this.rejected++;
      if (++this.lateInARow >= MAX_LATE_ROWS) {
        throw new ReplayError(
          `${this.file}: line ${lineNumber}: ${MAX_LATE_ROWS} rows in a row are more than 1 s behind the newest time (column ${String(this.map.time.column)})`,
        );
      }
      return true;
    }
    this.lateInARow = 0;
    if (t < this.newestUs) this.outOfOrder++;
    this.newestUs = Math.max(this.newestUs, t);
    return false;
  }

  finish(sha256: string): Recording {
    const samples = this.tUs.length;
    if (samples === 0) {
      const rows = this.rejected === 1 ? 'its one row was' : `all ${this.rejected} rows were`;
      const why =
        this.firstRefusal === null ? 'it has no rows' : `${rows} rejected, at first ${this.firstRefusal}`;
      throw new ReplayError(`${this.file}: no usable row: ${why}`, 4);
    }
    const order = this.order();
    const duplicateTimes = samples - order.length;
    const { recordStartUs } = this.map.time;
    const zeroUs = recordStartUs === undefined ? this.tUs.at(order[0]!) : -recordStartUs;
    const columns: { [K in Channel]?: Float64Array } = {};
    this.readers.forEach(({ channel }, i) => {
      columns[channel] = Float64Array.from(order, at => this.columns[i]!.at(at));
    });
    const tUs = Float64Array.from(order, at => this.tUs.at(at) - zeroUs);
    const lengthUs = this.readLengthS ? Float64Array.from(order, at => this.lengthUs.at(at)) : null;
    return {
      sha256,
      samples,
      rejected: this.rejected,
      outOfOrder: this.outOfOrder,
      duplicateTimes,
      chunk: { n: order.length, tUs, lengthUs, columns },
      labels: this.readLabel ? bridged(Array.from(order, at => this.labels[at] ?? null)) : null,
      samplePeriodS: this.samplePeriodS() ?? medianIntervalS(tUs),
      currentMostlyNegative: this.negative > this.positive,
    };
  }

  private samplePeriodS(): number | null {
    const { samplePeriod } = this.map;
    return samplePeriod ? converter(samplePeriod.unit, 's')(samplePeriod.constant) : null;
  }

  /** Indices in time order; of equal times the one read last. */
  private order(): Uint32Array {
    const order = Uint32Array.from({ length: this.tUs.length }, (_, i) => i);
    if (this.outOfOrder > 0) order.sort((a, b) => this.tUs.at(a) - this.tUs.at(b) || a - b);
    let kept = 0;
    for (let i = 0; i < order.length; i++) {
      const isLastOfEquals = i + 1 === order.length || this.tUs.at(order[i]!) !== this.tUs.at(order[i + 1]!);
      if (isLastOfEquals) order[kept++] = order[i]!;
    }
    return order.subarray(0, kept);
  }
}

/** Rows without a label between rows of the same label carry it too: a logger may label the arc only. */
function bridged(labels: (string | null)[]): (string | null)[] {
  let last = -1;
  for (let i = 0; i < labels.length; i++) {
    if (labels[i] === null) continue;
    if (last >= 0 && labels[last] === labels[i]) labels.fill(labels[i]!, last + 1, i);
    last = i;
  }
  return labels;
}

function cellReader(
  key: string,
  unit: string,
  from: ChannelSource,
  index: (column: number | string, key: string) => number,
): (cells: readonly string[]) => number {
  const convertTo = converter(from.unit, unit);
  if (from.column === undefined) {
    const value = convertTo(from.constant ?? Number.NaN);
    return () => value;
  }
  const at = index(from.column, key);
  const scale = from.scale ?? 1;
  return cells => {
    const value = readNumber(cells[at]) * scale;
    return Number.isFinite(value) ? convertTo(value) : Number.NaN;
  };
}

function medianIntervalS(tUs: Float64Array): number | null {
  if (tUs.length < 2) return null;
  const intervals = new Float64Array(tUs.length - 1);
  for (let i = 0; i < intervals.length; i++) intervals[i] = tUs[i + 1]! - tUs[i]!;
  intervals.sort();
  const middle = intervals.length >> 1;
  const median =
    intervals.length % 2 === 1 ? intervals[middle]! : (intervals[middle - 1]! + intervals[middle]!) / 2;
  return median / 1e6;
}

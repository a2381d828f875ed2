/**
 * Push decoder of any delimited line, mapped by configuration. Such a line has no checksum: a wrong digit is
 * not noticed, and the manual says so. What can be checked is: the number of cells, the grammar of numbers,
 * the order of times, and what is possible on a welding circuit.
 *
 * A line is rejected when its time, current or voltage is unreadable or impossible; another unreadable cell
 * makes only that channel unknown.
 */
import { ChunkWriter } from './chunk-writer.ts';
import { announcedColumns, type DelimitedColumns, delimitedColumns } from './delimited-columns.ts';
import type { DelimitedMap } from './delimited-map.ts';
import { newFrameCounters } from './frame-counters.ts';
import type { DecoderOutput, FrameDecoder } from './frame-decoder.ts';
import { LineBuffer } from './line-buffer.ts';
import { scaled } from './value-scaling.ts';

const MAX_LINE = 4096;
// The point stands between the two runs of digits: without it a long run could be split in as many ways as it is long.
const NUMBER = /^[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?$/;
/** Further back than this the device began again. */
const RESTART_US = 1_000_000;
/** So many lines in a row with another number of cells: the device prints that now. */
const RELEARN_LINES = 5;
/** Lines further apart than this, and than so many times as usual, did not come one after the other (docs/engine.md: gaps). */
const GAP_US = 250_000;
const GAP_PERIODS = 5;
/** What a push still counts at the next one, for how far lines are usually apart. */
const REMEMBERED = 0.9;

export class DelimitedDecoder implements FrameDecoder {
  readonly counters = newFrameCounters();
  readonly ownTime: boolean;
  private readonly map: DelimitedMap;
  private readonly startsAtLine: boolean;
  private readonly buffer = new LineBuffer(MAX_LINE);
  private columns: DelimitedColumns | null;
  private writer: ChunkWriter;
  private values: Float64Array;
  private announced = false;
  private skipFirst: boolean;
  private width: number;
  private otherWidth = 0;
  private otherWidthRun = 0;
  private lastUs = Number.NEGATIVE_INFINITY;
  /** Record time of the newest line that was stamped by its arrival; a new connection does not take it back. */
  private lastStampUs = -1;
  private lastArrivalUs: number | null = null;
  /** How long lines took to come, and how many they were: of late. */
  private usual = { us: 0, lines: 0 };
  private arrivalUs = 0;
  /** Period of the lines of a file that gives no time, µs; 0 where this does not apply. */
  private readonly filePeriodUs: number;
  private lineNumber = 0;
  private arrivedFrom = 0;
  private outputs: DecoderOutput[] = [];

  /** `startsAtLine`: the first byte after opening begins a line (a file), not the middle of one (a port). */
  constructor(map: DelimitedMap, startsAtLine: boolean) {
    this.map = map;
    this.startsAtLine = startsAtLine;
    this.filePeriodUs = startsAtLine && map.time === undefined ? (map.period_s ?? 0) * 1e6 : 0;
    this.ownTime = map.time !== undefined || this.filePeriodUs > 0;
    this.columns = map.header ? null : delimitedColumns(map, null);
    this.writer = new ChunkWriter(this.columns?.channels ?? [], 'none');
    this.values = new Float64Array(this.columns?.channels.length ?? 0);
    this.skipFirst = !startsAtLine;
    this.width = map.columns ?? 0;
  }

  push(bytes: Uint8Array, arrivalUs: number): DecoderOutput[] {
    this.outputs = [];
    this.announce();
    this.arrivalUs = arrivalUs;
    this.arrivedFrom = this.writer.at;
    let from = 0;
    while (from < bytes.length) {
      from = this.buffer.fill(bytes, from);
      if (!this.buffer.complete) break;
      this.endLine();
      this.buffer.clear();
    }
    if (!this.ownTime) this.stamp(arrivalUs);
    this.flush();
    return this.outputs;
  }

  finish(): DecoderOutput[] {
    return this.push(Uint8Array.of(10), this.arrivalUs);
  }

  reset(): void {
    this.buffer.clear();
    this.skipFirst = !this.startsAtLine;
    this.lastUs = Number.NEGATIVE_INFINITY;
    this.lastArrivalUs = null;
    if (this.map.header && this.startsAtLine) this.columns = null;
  }

  private announce(): void {
    if (this.announced || this.columns === null) return;
    this.announced = true;
    this.counters.announcements++;
    this.outputs.push({
      kind: 'announce',
      announcement: {
        format: 'delimited',
        boot: null,
        samplePeriodUs: this.map.period_s === undefined ? null : Math.round(this.map.period_s * 1e6),
        simulated: null,
        channels: announcedColumns(this.columns),
      },
    });
  }

  private flush(): void {
    const chunk = this.writer.take();
    if (chunk === null) return;
    this.counters.samples += chunk.n;
    this.outputs.push({ kind: 'samples', chunk });
  }

  private endLine(): void {
    const { counters, buffer } = this;
    if (this.skipFirst) {
      this.skipFirst = false;
      counters.skippedBytes += buffer.seen;
      counters.discardedBytes += buffer.seen;
      return;
    }
    const reason = this.readLine();
    if (reason === null) return;
    counters[reason]++;
    counters.discardedBytes += buffer.seen;
  }

  private readLine():
    | 'notAscii'
    | 'tooLong'
    | 'malformed'
    | 'beforeAnnounce'
    | 'impossibleSamples'
    | 'outOfOrder'
    | null {
    const { buffer } = this;
    if (buffer.foreignByte) return 'notAscii';
    if (buffer.tooLong) return 'tooLong';
    const cells = buffer.text().split(this.map.delimiter);
    if (this.map.header && this.tryHeader(cells)) return null;
    const { columns } = this;
    if (columns === null) return 'beforeAnnounce';
    if (!this.widthIsRight(cells.length, columns)) return 'malformed';
    this.counters.frames++;
    let tUs = Math.round(this.lineNumber++ * this.filePeriodUs);
    if (columns.timeIndex >= 0) {
      const time = numberOf(cells[columns.timeIndex]!);
      tUs = Math.round(time * columns.timeFactorUs);
      if (!Number.isFinite(tUs) || Math.abs(tUs) > Number.MAX_SAFE_INTEGER) return 'impossibleSamples';
    }
    if (!this.readValues(cells, columns)) return 'impossibleSamples';
    return this.write(tUs);
  }

  /** True where this line was a header that names every named column. */
  private tryHeader(cells: readonly string[]): boolean {
    const names = cells.map(cell => cell.trim());
    if (names.every(name => NUMBER.test(name) || name === '')) return false;
    const columns = delimitedColumns(this.map, names);
    if (columns === null) return false;
    if (JSON.stringify(columns) !== JSON.stringify(this.columns)) {
      this.flush();
      this.columns = columns;
      this.writer = new ChunkWriter(columns.channels, 'none');
      this.values = new Float64Array(columns.channels.length);
      this.arrivedFrom = 0;
      this.announced = false;
      this.announce();
    }
    this.width = this.map.columns ?? cells.length;
    return true;
  }

  /** Two lines fused by lost bytes, or one cut short, have another number of cells. */
  private widthIsRight(width: number, columns: DelimitedColumns): boolean {
    if (width <= columns.lastIndex) return false;
    if (this.width === 0) this.width = width;
    if (width === this.width) {
      this.otherWidthRun = 0;
      return true;
    }
    if (this.map.columns !== undefined) return false;
    this.otherWidthRun = width === this.otherWidth ? this.otherWidthRun + 1 : 1;
    this.otherWidth = width;
    if (this.otherWidthRun < RELEARN_LINES) return false;
    this.width = width;
    return true;
  }

  private readValues(cells: readonly string[], { columns }: DelimitedColumns): boolean {
    const { counters, values } = this;
    for (let c = 0; c < columns.length; c++) {
      const { scaling, index, constant } = columns[c]!;
      if (index < 0) {
        values[c] = constant;
        continue;
      }
      const value = scaled(scaling, numberOf(cells[index]!));
      if (value >= scaling.min && value <= scaling.max) {
        values[c] = value;
        continue;
      }
      if (scaling.rejectsSample) return false;
      values[c] = Number.NaN;
      if (Number.isNaN(value)) counters.unreadableCells++;
      else counters.impossibleValues++;
    }
    return true;
  }

  private write(tUs: number): 'outOfOrder' | null {
    if (this.ownTime) {
      if (tUs <= this.lastUs - RESTART_US) {
        this.counters.restarts++;
        this.flush();
        this.outputs.push({ kind: 'restart', cause: 'jumpedBack' });
      } else if (tUs === this.lastUs) {
        this.counters.duplicateFrames++;
        return null;
      } else if (tUs < this.lastUs) return 'outOfOrder';
      this.lastUs = tUs;
    }
    if (!this.writer.fits(1)) {
      // Lines of one push that are stamped by arrival stay together only as far as a block reaches.
      if (!this.ownTime && this.writer.at > this.arrivedFrom) this.stamp(this.arrivalUs);
      this.flush();
      this.writer.begin();
      this.arrivedFrom = 0;
    }
    const { writer } = this;
    const at = writer.at++;
    writer.tUs[at] = tUs;
    for (let c = 0; c < this.values.length; c++) writer.columns[c]![at] = this.values[c]!;
    return null;
  }

  /**
   * Times for the lines of this push: they came together, so the newest is now and the others lie before it,
   * `period_s` apart where that is known, else evenly since the push before.
   */
  private stamp(arrivalUs: number): void {
    const { writer, arrivedFrom } = this;
    const count = writer.at - arrivedFrom;
    if (count === 0) return;
    const stepUs = (this.map.period_s ?? 0) * 1e6 || this.stepUs(arrivalUs, count);
    for (let k = 0; k < count; k++) {
      const wanted = Math.round(arrivalUs - (count - 1 - k) * stepUs);
      this.lastStampUs = Math.max(wanted, this.lastStampUs + 1);
      writer.tUs[arrivedFrom + k] = this.lastStampUs;
    }
    this.lastArrivalUs = arrivalUs;
  }

  /** How far the lines of this push are apart; as far as usual where for a while none came. */
  private stepUs(arrivalUs: number, count: number): number {
    const { usual, lastArrivalUs } = this;
    const usualUs = usual.lines > 0 ? usual.us / usual.lines : 1;
    if (lastArrivalUs === null) return usualUs;
    const us = arrivalUs - lastArrivalUs;
    if (usual.lines > 0 && us / count > Math.max(GAP_US, GAP_PERIODS * usualUs)) return usualUs;
    this.usual = { us: REMEMBERED * usual.us + us, lines: REMEMBERED * usual.lines + count };
    return us / count;
  }
}

function numberOf(cell: string): number {
  const text = cell.trim();
  return NUMBER.test(text) ? Number(text) : Number.NaN;
}

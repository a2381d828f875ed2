/**
 * From samples to intervals: how long each sample's values stand, where nothing is known, and where a
 * source only repeats itself. Rules: docs/engine.md "Holding and gaps".
 *
 * A sample waits here until its successor says how long it held. Samples that repeat the last reading
 * bit for bit wait longer: until they differ (then they were real) or have lasted `heldAfterS`
 * (then they were not, from the first of them on).
 */
import type { SampleChunk } from '../sample/chunk.ts';
import { GAP, HELD, IntervalBlock, SAMPLE } from './interval-block.ts';
import { wasSetBack } from './was-set-back.ts';

export interface ConditionerSettings {
  readonly samplePeriodS: number | null;
  readonly gapPeriods: number;
  readonly gapMinS: number;
  readonly heldAfterS: number | null;
  readonly heldMinRateHz: number;
  /** Readings below this are never held, A. */
  readonly heldMinCurrentA: number;
}

/** Faster than any carriage or wire: a cumulative channel that claims it has been reset. */
const IMPOSSIBLE_MM_PER_S = 1000;
/** The same, of one that is back at 0: faster than a carriage runs home. */
const SET_BACK_MM_PER_S = 200;

/** Room for times rounded to 1 µs in the rate of a source, relative. */
const RATE_ROUNDING = 1e-4;
/** Room for this many waiting samples to begin with. */
const WAITING = 64;

/** What is kept of each sample; `lengthUs` NaN where a sample holds until the next. */
interface Columns {
  tUs: Float64Array;
  lengthUs: Float64Array;
  current: Float64Array;
  voltage: Float64Array;
  power: Float64Array;
  wireFeed: Float64Array;
  wireLength: Float64Array;
  travel: Float64Array;
  distance: Float64Array;
  gasFlow: Float64Array;
  oscillationWidth: Float64Array;
  oscillationFrequency: Float64Array;
}
const FIELDS = [
  'tUs',
  'lengthUs',
  'current',
  'voltage',
  'power',
  'wireFeed',
  'wireLength',
  'travel',
  'distance',
  'gasFlow',
  'oscillationWidth',
  'oscillationFrequency',
] as const satisfies readonly (keyof Columns)[];

/** Stands in for every column a chunk does not have. */
let unknownColumn = new Float64Array(1024).fill(Number.NaN);

function columnsOf({ n, tUs, lengthUs, columns }: SampleChunk): Columns {
  if (unknownColumn.length < n) unknownColumn = new Float64Array(2 * n).fill(Number.NaN);
  return {
    tUs,
    lengthUs: lengthUs ?? unknownColumn,
    current: columns.weldingCurrent ?? unknownColumn,
    voltage: columns.arcVoltage ?? unknownColumn,
    power: columns.power ?? unknownColumn,
    wireFeed: columns.wireFeedSpeed ?? unknownColumn,
    wireLength: columns.wireLength ?? unknownColumn,
    travel: columns.travelSpeed ?? unknownColumn,
    distance: columns.travelDistance ?? unknownColumn,
    gasFlow: columns.gasFlow ?? unknownColumn,
    oscillationWidth: columns.oscillationWidth ?? unknownColumn,
    oscillationFrequency: columns.oscillationFrequency ?? unknownColumn,
  };
}

function emptyColumns(capacity: number): Columns {
  return Object.fromEntries(FIELDS.map(field => [field, new Float64Array(capacity)])) as unknown as Columns;
}

export class Conditioner {
  /** Samples without a current or voltage: not usable, dropped and counted. */
  unusable = 0;
  private readonly settings: ConditionerSettings;
  private readonly block = new IntervalBlock();
  private readonly waiting = emptyColumns(WAITING);
  private waitingCount = 0;
  private gapUs = 0;
  private samplePeriodS: number | null = null;
  /** Start of a confirmed held run; its last sample is the one in `waiting`. */
  private heldFromUs: number | null = null;
  private heldFromMm = Number.NaN;

  constructor(settings: ConditionerSettings) {
    this.settings = settings;
    this.setSamplePeriod(settings.samplePeriodS);
  }

  setSamplePeriod(samplePeriodS: number | null): void {
    this.samplePeriodS = samplePeriodS;
    const { gapPeriods, gapMinS } = this.settings;
    this.gapUs = Math.round(1e6 * Math.max(gapMinS, gapPeriods * (samplePeriodS ?? 0)));
  }

  /** True while the newest samples are a confirmed repetition. */
  get held(): boolean {
    return this.heldFromUs !== null;
  }

  /** The intervals that are settled once `chunk` has arrived. The block is reused by the next call. */
  push(chunk: SampleChunk): IntervalBlock {
    const { block, waiting } = this;
    const { heldAfterS, heldMinCurrentA } = this.settings;
    const columns = columnsOf(chunk);
    const { tUs, current, voltage, distance, wireLength } = columns;
    block.length = 0;
    block.reserve(chunk.n + this.waitingCount + 2);
    // While no reading repeats, the one waiting sample is read where it is, in the chunk.
    let previous = -1;
    for (let i = 0; i < chunk.n; i++) {
      const amps = current[i]!;
      const volts = voltage[i]!;
      if (Number.isNaN(amps) || Number.isNaN(volts)) {
        this.unusable++;
        continue;
      }
      const t = tUs[i]!;
      const mayRepeat = heldAfterS !== null && amps >= heldMinCurrentA;
      if (previous >= 0) {
        const gap = t - tUs[previous]! > this.gapUs;
        if (!mayRepeat || gap || amps !== current[previous] || volts !== voltage[previous]) {
          this.emitSample(columns, previous, t, gap, distance[i]!, wireLength[i]!);
          if (gap) this.emitGap(columns, previous, t, distance[i]!);
          previous = i;
          continue;
        }
        this.wait(columns, previous);
        previous = -1;
      }
      const last = this.waitingCount - 1;
      if (last < 0) {
        previous = i;
        continue;
      }
      const gap = t - waiting.tUs[last]! > this.gapUs;
      if (mayRepeat && !gap && amps === waiting.current[last] && volts === waiting.voltage[last]) {
        this.repeat(columns, i, heldAfterS);
      } else {
        this.release(t, gap, distance[i]!, wireLength[i]!);
        previous = i;
      }
    }
    if (previous >= 0) this.wait(columns, previous);
    if (this.heldFromUs !== null) this.emitHeld(waiting.tUs[0]!, waiting.distance[0]!);
    return block;
  }

  /** The recording is over: what waits is settled; the last sample holds for 0 s or its own length. */
  finish(): IntervalBlock {
    this.block.length = 0;
    if (this.waitingCount > 0) {
      this.release(this.waiting.tUs[this.waitingCount - 1]!, false, Number.NaN, Number.NaN);
    }
    return this.block;
  }

  private wait(from: Columns, i: number): void {
    const { waiting } = this;
    const at = this.waitingCount++;
    if (at === waiting.tUs.length) this.grow();
    for (const field of FIELDS) waiting[field][at] = from[field][i]!;
  }

  private grow(): void {
    for (const field of FIELDS) {
      const grown = new Float64Array(2 * this.waiting[field].length);
      grown.set(this.waiting[field]);
      this.waiting[field] = grown;
    }
  }

  /** Sample `i` repeats the last reading: one more of a run that may turn out to be held. */
  private repeat(columns: Columns, i: number, heldAfterS: number): void {
    if (this.heldFromUs !== null) {
      this.waitingCount = 0;
      this.wait(columns, i);
      return;
    }
    this.wait(columns, i);
    const spanS = (columns.tUs[i]! - this.waiting.tUs[0]!) / 1e6;
    if (spanS < heldAfterS) return;
    const periodS = this.samplePeriodS ?? spanS / (this.waitingCount - 1);
    if (1 / periodS >= this.settings.heldMinRateHz * (1 - RATE_ROUNDING)) {
      this.heldFromUs = this.waiting.tUs[0]!;
      this.heldFromMm = this.waiting.distance[0]!;
      this.waitingCount = 0;
      this.wait(columns, i);
    } else {
      // Too slow a source to tell: all but the newest were real readings.
      this.emitWaiting(this.waitingCount - 1);
      this.waitingCount = 0;
      this.wait(columns, i);
    }
  }

  /** What waits is settled by the next sample at `nextUs`, or by a gap up to it. */
  private release(nextUs: number, gap: boolean, nextMm: number, nextWireMm: number): void {
    const { waiting } = this;
    const last = this.waitingCount - 1;
    if (this.heldFromUs === null) {
      this.emitWaiting(last);
      this.emitSample(waiting, last, nextUs, gap, nextMm, nextWireMm);
    } else {
      if (gap) this.emitHeld(waiting.tUs[last]!, waiting.distance[last]!);
      else this.emitHeld(nextUs, nextMm);
      this.heldFromUs = null;
    }
    if (gap) this.emitGap(waiting, last, nextUs, nextMm);
    this.waitingCount = 0;
  }

  /** Nothing between sample `i`, or the end of its own averaging interval, and `nextUs`. */
  private emitGap(columns: Columns, i: number, nextUs: number, nextMm: number): void {
    const tUs = columns.tUs[i]!;
    const lengthUs = columns.lengthUs[i]!;
    const fromUs = Number.isNaN(lengthUs) ? tUs : Math.min(tUs + lengthUs, nextUs);
    const mm = columns.distance[i]!;
    const coveredMm = wasSetBack(mm, nextMm) ? Number.NaN : nextMm - mm;
    const bridgedMm = (coveredMm * (nextUs - fromUs)) / (nextUs - tUs);
    this.block.addUnobserved(GAP, fromUs, nextUs, bridgedMm);
  }

  /** A held stretch is told in pieces as it goes on; consumers join pieces that touch. */
  private emitHeld(toUs: number, toMm: number): void {
    const fromUs = this.heldFromUs!;
    if (toUs <= fromUs) return;
    this.block.addUnobserved(HELD, fromUs, toUs, toMm - this.heldFromMm);
    this.heldFromUs = toUs;
    this.heldFromMm = toMm;
  }

  /** The first `count` waiting samples, each up to the one after it. */
  private emitWaiting(count: number): void {
    const { tUs, distance, wireLength } = this.waiting;
    for (let i = 0; i < count; i++) {
      this.emitSample(this.waiting, i, tUs[i + 1]!, false, distance[i + 1]!, wireLength[i + 1]!);
    }
  }

  private emitSample(
    columns: Columns,
    i: number,
    nextUs: number,
    gap: boolean,
    nextMm: number,
    nextWireMm: number,
  ): void {
    const { block } = this;
    if (block.length === block.kind.length) block.reserve(1);
    const at = block.length++;
    const tUs = columns.tUs[i]!;
    const lengthUs = columns.lengthUs[i]!;
    const spanUs = nextUs - tUs;
    const timed = lengthUs >= 0;
    // The last sample of a recording has no successor: its own length, else nothing, is observed.
    const observedUs = timed ? (spanUs > 0 ? Math.min(lengthUs, spanUs) : lengthUs) : gap ? 0 : spanUs;
    block.kind[at] = SAMPLE;
    block.tUs[at] = tUs;
    block.endUs[at] = gap ? tUs + observedUs : Math.max(nextUs, tUs + observedUs);
    block.observedS[at] = observedUs / 1e6;
    block.missingS[at] = gap || !timed ? 0 : Math.max(0, spanUs - observedUs) / 1e6;
    block.current[at] = columns.current[i]!;
    block.voltage[at] = columns.voltage[i]!;
    block.power[at] = columns.power[i]!;
    block.gasFlow[at] = columns.gasFlow[i]!;
    block.oscillationWidth[at] = columns.oscillationWidth[i]!;
    block.oscillationFrequency[at] = columns.oscillationFrequency[i]!;
    block.wireFeed[at] = speed(columns.wireFeed[i]!, columns.wireLength[i]!, nextWireMm, spanUs);
    block.travel[at] = speed(columns.travel[i]!, columns.distance[i]!, nextMm, spanUs);
  }
}

/** The reported speed, else what a cumulative channel covered until the next sample; NaN when unknown. */
function speed(reportedMmPerS: number, fromMm: number, toMm: number, spanUs: number): number {
  if (!Number.isNaN(reportedMmPerS)) return reportedMmPerS;
  if (spanUs <= 0) return Number.NaN;
  const mmPerS = ((toMm - fromMm) * 1e6) / spanUs;
  const possible = wasSetBack(fromMm, toMm) ? SET_BACK_MM_PER_S : IMPOSSIBLE_MM_PER_S;
  return Math.abs(mmPerS) <= possible ? mmPerS : Number.NaN;
}

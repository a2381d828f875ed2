/**
 * From samples to intervals: how long each sample's values stand, where nothing is known, and where a
 * source only repeats itself. Rules: docs/engine.md "Holding and gaps".
 *
 * A sample waits here until its successor says how long it held. Samples that repeat the last reading
 * bit for bit wait longer: until they differ (then they were real) or have lasted `heldAfterS`
 * (then they were not, from the first of them on).
 */
import type { Channel } from '../sample/channels.ts';
import type { SampleChunk } from '../sample/chunk.ts';
import { GAP, HELD, IntervalBlock, SAMPLE } from './interval-block.ts';

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

/** A source of nominally the least rate for held values may run this much slower. */
const RATE_JITTER = 0.05;

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
] as const;
type Field = (typeof FIELDS)[number];

/** Where each waiting field comes from in a chunk. */
const SOURCE: Partial<Record<Field, Channel>> = {
  current: 'weldingCurrent',
  voltage: 'arcVoltage',
  power: 'power',
  wireFeed: 'wireFeedSpeed',
  wireLength: 'wireLength',
  travel: 'travelSpeed',
  distance: 'travelDistance',
  gasFlow: 'gasFlow',
  oscillationWidth: 'oscillationWidth',
  oscillationFrequency: 'oscillationFrequency',
};

export class Conditioner {
  /** Samples without a current or voltage: not usable, dropped and counted. */
  unusable = 0;
  private readonly settings: ConditionerSettings;
  private readonly block = new IntervalBlock();
  private readonly waiting: Record<Field, Float64Array>;
  private waitingCount = 0;
  private capacity = 64;
  private gapUs = 0;
  private samplePeriodS: number | null = null;
  /** Start of a confirmed held run; its last sample is the one in `waiting`. */
  private heldFromUs: number | null = null;
  private heldFromMm = Number.NaN;

  constructor(settings: ConditionerSettings) {
    this.settings = settings;
    this.waiting = Object.fromEntries(FIELDS.map(field => [field, new Float64Array(64)])) as Record<
      Field,
      Float64Array
    >;
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
    this.block.length = 0;
    this.block.reserve(chunk.n + this.waitingCount + 2);
    const current = chunk.columns.weldingCurrent;
    const voltage = chunk.columns.arcVoltage;
    const { heldAfterS, heldMinCurrentA } = this.settings;
    const mayHold = heldAfterS !== null;
    for (let i = 0; i < chunk.n; i++) {
      const amps = current ? current[i]! : Number.NaN;
      const volts = voltage ? voltage[i]! : Number.NaN;
      if (Number.isNaN(amps) || Number.isNaN(volts)) {
        this.unusable++;
        continue;
      }
      const last = this.waitingCount - 1;
      if (last < 0) {
        this.wait(chunk, i);
        continue;
      }
      const t = chunk.tUs[i]!;
      const gap = t - this.waiting.tUs[last]! > this.gapUs;
      const repeats =
        mayHold &&
        !gap &&
        amps >= heldMinCurrentA &&
        amps === this.waiting.current[last] &&
        volts === this.waiting.voltage[last];
      if (repeats) this.repeat(chunk, i, heldAfterS);
      else {
        this.release(t, gap, chunk.columns.travelDistance?.[i], chunk.columns.wireLength?.[i]);
        this.wait(chunk, i);
      }
    }
    if (this.heldFromUs !== null) this.emitHeld(this.waiting.tUs[0]!, this.waiting.distance[0]!);
    return this.block;
  }

  /** The recording is over: what waits is settled; the last sample holds for 0 s or its own length. */
  finish(): IntervalBlock {
    this.block.length = 0;
    if (this.waitingCount > 0) {
      this.release(this.waiting.tUs[this.waitingCount - 1]!, false, undefined, undefined);
    }
    return this.block;
  }

  private wait(chunk: SampleChunk, i: number): void {
    if (this.waitingCount === this.capacity) this.grow();
    const at = this.waitingCount++;
    const waiting = this.waiting;
    const columns = chunk.columns;
    waiting.tUs[at] = chunk.tUs[i]!;
    waiting.lengthUs[at] = chunk.lengthUs ? chunk.lengthUs[i]! : Number.NaN;
    for (const field of VALUE_FIELDS) {
      const column = columns[SOURCE[field]!];
      waiting[field][at] = column ? column[i]! : Number.NaN;
    }
  }

  private grow(): void {
    this.capacity *= 2;
    for (const field of FIELDS) {
      const grown = new Float64Array(this.capacity);
      grown.set(this.waiting[field]);
      this.waiting[field] = grown;
    }
  }

  /** Sample `i` repeats the last reading: one more of a run that may turn out to be held. */
  private repeat(chunk: SampleChunk, i: number, heldAfterS: number): void {
    if (this.heldFromUs !== null) {
      this.waitingCount = 0;
      this.wait(chunk, i);
      return;
    }
    this.wait(chunk, i);
    const spanS = (chunk.tUs[i]! - this.waiting.tUs[0]!) / 1e6;
    if (spanS < heldAfterS) return;
    const periodS = this.samplePeriodS ?? spanS / (this.waitingCount - 1);
    if (1 / periodS >= this.settings.heldMinRateHz * (1 - RATE_JITTER)) {
      this.heldFromUs = this.waiting.tUs[0]!;
      this.heldFromMm = this.waiting.distance[0]!;
      this.waitingCount = 0;
      this.wait(chunk, i);
    } else {
      // Too slow a source to tell: all but the newest were real readings.
      this.emitWaiting(this.waitingCount - 1);
      this.waitingCount = 0;
      this.wait(chunk, i);
    }
  }

  /** What waits is settled by the next sample at `nextUs`, or by a gap up to it. */
  private release(nextUs: number, gap: boolean, nextMm = Number.NaN, nextWireMm = Number.NaN): void {
    const last = this.waitingCount - 1;
    const lastUs = this.waiting.tUs[last]!;
    const lastMm = this.waiting.distance[last]!;
    if (this.heldFromUs !== null) {
      if (gap) this.emitHeld(lastUs, lastMm);
      else this.emitHeld(nextUs, nextMm);
      this.heldFromUs = null;
    } else {
      this.emitWaiting(last);
      this.emitSample(last, nextUs, gap, nextMm, nextWireMm);
    }
    if (gap) {
      const lengthUs = this.waiting.lengthUs[last]!;
      const fromUs = Number.isNaN(lengthUs) ? lastUs : Math.min(lastUs + lengthUs, nextUs);
      const bridgedMm = ((nextMm - lastMm) * (nextUs - fromUs)) / (nextUs - lastUs);
      this.block.addUnobserved(GAP, fromUs, nextUs, bridgedMm);
    }
    this.waitingCount = 0;
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
    for (let i = 0; i < count; i++)
      this.emitSample(i, tUs[i + 1]!, false, distance[i + 1]!, wireLength[i + 1]!);
  }

  private emitSample(i: number, nextUs: number, gap: boolean, nextMm: number, nextWireMm: number): void {
    const { block, waiting } = this;
    block.reserve(1);
    const at = block.length++;
    const tUs = waiting.tUs[i]!;
    const lengthUs = waiting.lengthUs[i]!;
    const spanUs = nextUs - tUs;
    const timed = lengthUs >= 0;
    // The last sample of a recording has no successor: its own length, else nothing, is observed.
    const observedUs = timed ? (spanUs > 0 ? Math.min(lengthUs, spanUs) : lengthUs) : gap ? 0 : spanUs;
    block.kind[at] = SAMPLE;
    block.tUs[at] = tUs;
    block.endUs[at] = gap ? tUs + observedUs : Math.max(nextUs, tUs + observedUs);
    block.observedS[at] = observedUs / 1e6;
    block.missingS[at] = gap || !timed ? 0 : Math.max(0, spanUs - observedUs) / 1e6;
    block.current[at] = waiting.current[i]!;
    block.voltage[at] = waiting.voltage[i]!;
    block.power[at] = waiting.power[i]!;
    block.gasFlow[at] = waiting.gasFlow[i]!;
    block.oscillationWidth[at] = waiting.oscillationWidth[i]!;
    block.oscillationFrequency[at] = waiting.oscillationFrequency[i]!;
    block.wireFeed[at] = speed(waiting.wireFeed[i]!, waiting.wireLength[i]!, nextWireMm, spanUs);
    block.travel[at] = speed(waiting.travel[i]!, waiting.distance[i]!, nextMm, spanUs);
  }
}

const VALUE_FIELDS = FIELDS.filter(field => SOURCE[field] !== undefined);

/** The reported speed, else what a cumulative channel covered until the next sample; NaN when unknown. */
function speed(reportedMmPerS: number, fromMm: number, toMm: number, spanUs: number): number {
  if (!Number.isNaN(reportedMmPerS)) return reportedMmPerS;
  if (spanUs <= 0) return Number.NaN;
  const mmPerS = ((toMm - fromMm) * 1e6) / spanUs;
  return Math.abs(mmPerS) <= IMPOSSIBLE_MM_PER_S ? mmPerS : Number.NaN;
}

/**
 * Arc detection with hysteresis and dwell, and the sums of every slice of time. Rules: docs/engine.md "Arcs".
 *
 *            current ≥ start, feed > 0              start dwell over
 *   idle ───────────────────────────────▶ trial ───────────────────▶ burning
 *    ▲  ◀──────────────────────────────────┘ ◀───────┐                 │ current < stop
 *    │        anything else, or a gap                │ current ≥ stop  ▼
 *    └───────────────────────────────────────────────┴────────────  dropOut
 *                     stop dwell over
 *
 * A start or a stop is known only when its dwell is over, but happened at the first sample of the dwell;
 * slices told as `trial` or `dropOut` are kept or dropped by the consumer when the tracker says which.
 */
import { GAP, type IntervalBlock, SAMPLE } from '../signal/interval-block.ts';
import { type ArcPhase, emptySlice, type Motion, type Slice } from './slice.ts';
import { SUM, SUM_COUNT } from './sums.ts';

export interface ArcSettings {
  readonly arcStartA: number;
  readonly arcStartS: number;
  readonly arcStopA: number;
  readonly arcStopS: number;
  /** Travel below this is standing, mm/s. */
  readonly standingTravelMmS: number;
  /** An arc does not outlast a longer unobserved stretch, s. */
  readonly interruptedAfterS: number;
}

/** What the tracker tells, in time order. The slice is reused: copy what must outlive the call. */
export interface ArcSink {
  slice(slice: Slice): void;
  /** The trial that began at `tUs` is an arc. */
  arcStarted(tUs: number): void;
  trialDropped(): void;
  /** The drop-out is part of the arc: it recovered, or nothing more is known of it. */
  dropOutOver(recovered: boolean): void;
  /** The arc ended at `tUs`; slices told as dropOut since then were not part of it. */
  arcEnded(tUs: number, why: 'stopped' | 'interrupted' | 'cut' | 'recordingEnded'): void;
  unobserved(kind: 'gap' | 'held', fromUs: number, toUs: number, bridgedMm: number): void;
}

/** Slices are cut at multiples of this, µs. */
const SLICE_US = 50_000;

export class ArcTracker {
  private phase: ArcPhase = 'idle';
  private trialFromUs = 0;
  private dropOutFromUs = 0;
  /** Start of the unobserved stretch that the newest entry belongs to; null after a sample. */
  private unobservedFromUs: number | null = null;
  private sliceIndex = -1;
  private readonly slice = emptySlice();
  private readonly settings: ArcSettings;
  private readonly sink: ArcSink;

  constructor(settings: ArcSettings, sink: ArcSink) {
    this.settings = settings;
    this.sink = sink;
  }

  get burning(): boolean {
    return this.phase === 'burning' || this.phase === 'dropOut';
  }

  /** True when neither an arc nor a trial is under way. */
  get idle(): boolean {
    return this.phase === 'idle';
  }

  consume(block: IntervalBlock): void {
    const { kind, tUs, endUs, observedS, missingS, current, voltage, power, wireFeed, travel } = block;
    const { gasFlow, oscillationWidth, oscillationFrequency } = block;
    const { standingTravelMmS } = this.settings;
    const { slice } = this;
    const { sums } = slice;
    for (let i = 0; i < block.length; i++) {
      const t = tUs[i]!;
      if (kind[i] !== SAMPLE) {
        this.skip(kind[i] === GAP ? 'gap' : 'held', t, endUs[i]!, travel[i]!);
        continue;
      }
      const amps = current[i]!;
      const volts = voltage[i]!;
      const feed = wireFeed[i]!;
      const mmPerS = travel[i]!;
      this.unobservedFromUs = null;
      this.step(t, amps, feed);

      const motion: Motion =
        mmPerS >= standingTravelMmS ? 'moving' : mmPerS < standingTravelMmS ? 'standing' : 'unknown';
      const index = Math.floor(t / SLICE_US);
      if (index !== this.sliceIndex || motion !== slice.motion || slice.phase !== this.phase) {
        this.flush();
        this.sliceIndex = index;
        slice.phase = this.phase;
        slice.motion = motion;
        slice.fromUs = t;
      }
      const seconds = observedS[i]!;
      slice.toUs = endUs[i]!;
      sums[SUM.observedS]! += seconds;
      sums[SUM.missingS]! += missingS[i]!;
      sums[SUM.currentAs]! += amps * seconds;
      sums[SUM.voltageVs]! += volts * seconds;
      sums[SUM.productJ]! += amps * volts * seconds;
      sums[SUM.currentSquaredA2s]! += amps * amps * seconds;
      sums[SUM.voltageSquaredV2s]! += volts * volts * seconds;
      const watts = power[i]!;
      if (!Number.isNaN(watts)) {
        sums[SUM.powerJ]! += watts * seconds;
        sums[SUM.powerKnownS]! += seconds;
      }
      if (!Number.isNaN(feed)) {
        sums[SUM.wireMm]! += feed * seconds;
        sums[SUM.wireKnownS]! += seconds;
      }
      if (!Number.isNaN(mmPerS)) {
        sums[SUM.travelMm]! += mmPerS * seconds;
        sums[SUM.travelKnownS]! += seconds;
      }
      const litresPerMin = gasFlow[i]!;
      if (!Number.isNaN(litresPerMin)) {
        sums[SUM.gasL]! += (litresPerMin * seconds) / 60;
        sums[SUM.gasKnownS]! += seconds;
      }
      const widthMm = oscillationWidth[i]!;
      if (!Number.isNaN(widthMm)) {
        sums[SUM.oscillationWidthMmS]! += widthMm * seconds;
        sums[SUM.oscillationWidthKnownS]! += seconds;
      }
      const hertz = oscillationFrequency[i]!;
      if (!Number.isNaN(hertz)) {
        sums[SUM.oscillationCycles]! += hertz * seconds;
        sums[SUM.oscillationKnownS]! += seconds;
      }
    }
  }

  /** The work changes at `tUs`: a burning arc is cut there and starts anew behind it. */
  cut(tUs: number): void {
    this.end(tUs, 'cut');
  }

  /** The recording ends with the samples told so far. */
  finish(lastSampleUs: number): void {
    this.end(lastSampleUs, 'recordingEnded');
  }

  private end(tUs: number, why: 'cut' | 'recordingEnded'): void {
    this.flush();
    if (this.phase === 'trial') this.sink.trialDropped();
    // Part of a drop-out that nothing ended belongs to the arc.
    if (this.phase === 'dropOut') this.sink.dropOutOver(false);
    if (this.burning) this.sink.arcEnded(tUs, why);
    this.phase = 'idle';
  }

  /** One sample's current moves the state. */
  private step(t: number, amps: number, feed: number): void {
    const { arcStartA, arcStartS, arcStopA, arcStopS } = this.settings;
    switch (this.phase) {
      case 'idle':
        if (amps >= arcStartA && !(feed <= 0)) this.beginTrial(t);
        break;
      case 'trial':
        if (!(amps >= arcStartA) || feed <= 0) this.dropTrial();
        else if (t - this.trialFromUs >= arcStartS * 1e6) {
          this.flush();
          this.phase = 'burning';
          this.sink.arcStarted(this.trialFromUs);
        }
        break;
      case 'burning':
        if (amps < arcStopA) {
          this.flush();
          this.phase = 'dropOut';
          this.dropOutFromUs = t;
        }
        break;
      case 'dropOut':
        if (amps >= arcStopA) {
          this.flush();
          this.phase = 'burning';
          this.sink.dropOutOver(true);
        } else if (t - this.dropOutFromUs >= arcStopS * 1e6) {
          this.flush();
          this.phase = 'idle';
          this.sink.arcEnded(this.dropOutFromUs, 'stopped');
        }
        break;
    }
  }

  private beginTrial(t: number): void {
    this.flush();
    this.phase = 'trial';
    this.trialFromUs = t;
  }

  private dropTrial(): void {
    this.flush();
    this.phase = 'idle';
    this.sink.trialDropped();
  }

  /** An unobserved stretch: no arc starts in it, and a burning one outlasts it only if it is short. */
  private skip(kind: 'gap' | 'held', fromUs: number, toUs: number, bridgedMm: number): void {
    if (this.phase === 'trial') this.dropTrial();
    this.flush();
    this.unobservedFromUs ??= fromUs;
    const tooLong = toUs - this.unobservedFromUs > this.settings.interruptedAfterS * 1e6;
    if (tooLong && this.burning) {
      if (this.phase === 'dropOut') this.sink.arcEnded(this.dropOutFromUs, 'stopped');
      else this.sink.arcEnded(this.unobservedFromUs, 'interrupted');
      this.phase = 'idle';
    }
    this.sink.unobserved(kind, fromUs, toUs, bridgedMm);
  }

  private flush(): void {
    const { sums } = this.slice;
    if (sums[SUM.observedS]! > 0 || sums[SUM.missingS]! > 0) this.sink.slice(this.slice);
    // Loops here and in SlidingMean: for so few numbers a call of fill or set costs more.
    for (let i = 0; i < SUM_COUNT; i++) sums[i] = 0;
    this.sliceIndex = -1;
  }
}

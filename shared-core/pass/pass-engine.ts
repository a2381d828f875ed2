/** The pass engine: conditioner → arc tracker → pass machine. The same live, in replay and in tests. */
import { ArcTracker } from '../arc/arc-tracker.ts';
import { SUM } from '../arc/sums.ts';
import type { DriftBook } from '../drift/baseline-book.ts';
import { callLive } from '../drift/open-call.ts';
import type { Drifting, DriftSettings } from '../messages/drift.ts';
import type { OutOfRange, RunningPass } from '../messages/live.ts';
import type { Procedure } from '../procedure/procedure.ts';
import { type SampleChunk, sliceChunk } from '../sample/chunk.ts';
import { Conditioner } from '../signal/conditioner.ts';
import { CountSpreader } from '../signal/count-spreader.ts';
import { DriftDesk, type DriftOptions } from './drift-desk.ts';
import type {
  EngineAssignment,
  EngineEffect,
  EngineLive,
  EngineResume,
  EngineSettings,
  PassEngine,
} from './engine-api.ts';
import type { OpenPass } from './open-pass.ts';
import type { OutOfRangeSpan } from './out-of-range-watch.ts';
import { PassMachine } from './pass-machine.ts';
import { passTotals } from './pass-summary.ts';
import { mean } from './quantities.ts';
import { expandedRelative } from './uncertainty.ts';
import { type Work, type WorkInput, workOf } from './work.ts';

/** Defaults of every threshold; meanings and sources in docs/engine.md. */
export const DEFAULT_ENGINE_SETTINGS: EngineSettings = {
  samplePeriodS: null,
  gapPeriods: 5,
  gapMinS: 0.25,
  heldAfterS: 1,
  heldMinRateHz: 10,
  arcStartA: 30,
  arcStartS: 0.2,
  arcStopA: 15,
  arcStopS: 0.5,
  passJoinS: 15,
  standingTravelMmS: 0.5,
  windowLengthMm: 25,
  liveMeanS: 1,
  onDelayS: 2,
  offDelayS: 5,
  referenceRadiusMm: null,
  positionUncertaintyMm: 10,
  uncertainty: { current: null, voltage: null, wireFeed: null, travel: null },
};

/** A live picture older than this says no data, s. */
const STALE_S = 2;
/** As many changes as a live message carries. */
const MOST_DRIFTING = 12;

export interface EngineOptions extends DriftOptions {
  readonly resume?: EngineResume | null;
  /** What unassigned work is judged against (replay). */
  readonly procedure?: Procedure | null;
  readonly passName?: string | null;
}

/** The engine plus what only replay uses: labels that a recording carries. */
export interface LabelledPassEngine extends PassEngine {
  /** From the next sample on the recording carries this label; null: none. */
  label(label: string | null): void;
  /** Samples without a usable current or voltage. */
  readonly unusable: number;
}

export function createPassEngine(settings: EngineSettings, options: EngineOptions = {}): LabelledPassEngine {
  return new Engine(settings, options);
}

class Engine implements LabelledPassEngine {
  private readonly settings: EngineSettings;
  private readonly options: EngineOptions;
  private readonly counts = new CountSpreader();
  private readonly conditioner: Conditioner;
  private readonly tracker: ArcTracker;
  private readonly machine: PassMachine;
  /** Work that begins with the next sample. */
  private nextWork: Work | null = null;
  private started = false;
  private lastSampleUs = 0;
  private nowUs = 0;
  private silenceTold = false;
  private latest: { temperature: number | null; program: number | null } = {
    temperature: null,
    program: null,
  };

  constructor(settings: EngineSettings, options: EngineOptions) {
    this.settings = settings;
    this.options = options;
    this.conditioner = new Conditioner({ ...settings, heldMinCurrentA: settings.arcStopA });
    const drift = new DriftDesk(settings, options);
    this.machine = new PassMachine(settings, this.work({}), options.resume ?? null, drift);
    this.tracker = new ArcTracker({ ...settings, interruptedAfterS: settings.passJoinS }, this.machine);
  }

  get unusable(): number {
    return this.conditioner.unusable;
  }

  push(chunk: SampleChunk): void {
    if (chunk.n === 0) return;
    if (!this.started) {
      this.started = true;
      this.machine.originUs = chunk.tUs[0]!;
      this.machine.lastUs = chunk.tUs[0]!;
    }
    if (this.nextWork) {
      // The waiting sample still belongs to the old work; it lasts until the first of the new.
      this.feed(this.counts.flush());
      this.feed(sliceChunk(chunk, 0, 1));
      this.tracker.cut(chunk.tUs[0]!);
      this.machine.setWork(this.nextWork);
      this.nextWork = null;
      this.feed(this.counts.push(sliceChunk(chunk, 1, chunk.n)));
    } else this.feed(this.counts.push(chunk));
    this.lastSampleUs = chunk.tUs[chunk.n - 1]!;
    // Samples end a silence, whatever it had come to: a gap may turn out shorter in record time.
    this.nowUs = this.lastSampleUs;
    this.silenceTold = false;
    this.remember(chunk);
  }

  silence(tUs: number): void {
    this.nowUs = Math.max(this.nowUs, tUs);
    const silentS = (this.nowUs - this.lastSampleUs) / 1e6;
    if (silentS > STALE_S) this.feed(this.counts.flush());
    if (this.silenceTold || !this.started || silentS <= this.settings.passJoinS) return;
    this.silenceTold = true;
    // Not closed: late samples may still show that nothing was missing.
    this.machine.snapshot([{ code: 'silent', fields: ['endS'], text: 'no samples are arriving' }]);
  }

  assign(assignment: EngineAssignment | null): void {
    this.change({ assignment });
  }

  label(label: string | null): void {
    this.change({ label });
  }

  closePass(): void {
    this.feed(this.counts.flush());
    this.tracker.cut(this.machine.lastUs);
    this.machine.close([]);
  }

  finish(): void {
    this.feed(this.counts.flush());
    this.tracker.consume(this.conditioner.finish());
    this.tracker.finish(this.lastSampleUs);
    this.machine.finish();
  }

  resume(from: EngineResume): void {
    this.tracker.cut(this.machine.lastUs);
    this.machine.resume(from);
  }

  drain(): EngineEffect[] {
    return this.machine.effects.splice(0);
  }

  setSamplePeriod(samplePeriodS: number): void {
    this.conditioner.setSamplePeriod(samplePeriodS);
  }

  setDriftSettings(settings: DriftSettings): void {
    this.machine.drift.settings = settings;
  }

  get driftSettings(): DriftSettings {
    return this.machine.open?.drift.pass.settings ?? this.machine.drift.settings;
  }

  get driftBook(): DriftBook {
    return this.machine.drift.book;
  }

  live(): EngineLive {
    const { machine } = this;
    const tUs = machine.lastUs;
    const stale = (this.nowUs - this.lastSampleUs) / 1e6 > STALE_S;
    const arc =
      stale || this.conditioner.held || !this.started ? 'noData' : this.tracker.burning ? 'on' : 'off';
    const means = machine.means(tUs);
    const sums = machine.sliding.sums(tUs);
    return {
      tUs,
      arc,
      values: {
        weldingCurrent: means.weldingCurrent,
        arcVoltage: means.arcVoltage,
        wireFeedSpeed: means.wireFeedSpeed,
        travelSpeed: means.travelSpeed,
        power: mean(sums[SUM.powerJ]!, sums[SUM.powerKnownS]!),
        gasFlow: means.gasFlow,
        oscillationWidth: means.oscillationWidth,
        oscillationFrequency: means.oscillationFrequency,
        ...this.latest,
      },
      position: this.livePosition(),
      pass: machine.open && this.runningPass(machine.open),
      outOfRange: machine.watchers.limits.spans.map(span => this.outOfRange(span)),
      passMismatch: machine.open?.match.current ?? null,
      drifting: this.drifting(machine.open),
    };
  }

  private feed(chunk: SampleChunk): void {
    if (chunk.n === 0) return;
    this.machine.programs.add(chunk, this.machine.lastUs);
    this.tracker.consume(this.conditioner.push(chunk));
  }

  private work(input: WorkInput): Work {
    const { procedure = null, passName = null } = this.options;
    return workOf({ procedure, passName, ...input }, this.settings.referenceRadiusMm);
  }

  private change(input: WorkInput): void {
    const work = this.work(input);
    const current = this.nextWork ?? this.machine.currentWork;
    if (work.key === current.key && work.procedure === current.procedure) return;
    if (this.tracker.idle) {
      this.nextWork = null;
      this.machine.setWork(work);
    } else this.nextWork = work;
  }

  private remember(chunk: SampleChunk): void {
    const { temperature, program } = chunk.columns;
    const last = chunk.n - 1;
    const known = (column: Float64Array | undefined): number | null =>
      column && !Number.isNaN(column[last]!) ? column[last]! : null;
    this.latest = { temperature: known(temperature), program: known(program) };
  }

  private livePosition(): EngineLive['position'] {
    const { machine } = this;
    const assignment = machine.open?.work.assignment;
    if (!machine.open || !assignment || !machine.position.known) return null;
    const alongMm = machine.alongMm(machine.open);
    const { clock, circumferentialMm } = machine.position.on(assignment, alongMm);
    return { alongMm, clock, circumferentialMm, uncertaintyMm: machine.position.uncertaintyMm(alongMm) };
  }

  /** While the arc burns: what holds after it is for the restart to show. */
  private drifting(pass: OpenPass | null): Drifting[] {
    if (!pass?.burning) return [];
    const alongMm = this.machine.alongMm(pass);
    return pass.drift.calls.holding.slice(0, MOST_DRIFTING).map(call => callLive(call, alongMm));
  }

  private runningPass(pass: OpenPass): RunningPass {
    const totals = passTotals(pass);
    const relative = expandedRelative('arcEnergy', this.settings.uncertainty);
    return {
      index: pass.index,
      startUs: pass.startUs,
      ...totals,
      arcEnergyUncertaintyKjMm:
        relative === null || totals.arcEnergyKjMm === null ? null : totals.arcEnergyKjMm * relative,
      restarts: pass.restarts,
      extinctions: pass.extinctions,
      unobservedS: pass.unobservedS,
    };
  }

  private outOfRange(span: OutOfRangeSpan): OutOfRange {
    const { machine } = this;
    const here = machine.open && machine.position.known ? machine.alongMm(machine.open) : null;
    return {
      quantity: span.limit.quantity,
      unit: span.limit.unit,
      value: span.value,
      min: span.limit.min,
      max: span.limit.max,
      sinceUs: span.fromUs,
      sincePositionMm: span.fromMm,
      lengthMm: here === null || span.fromMm === null ? null : Math.abs(here - span.fromMm),
    };
  }
}

/** Does one job of the plan: welds a simulated pass and runs it through the engine with a baseline learned as live. */
import { BOOK_PASSES, bookKey, type DriftBook, EMPTY_BOOK, learnPass } from '#core/drift/baseline-book';
import type { PassDrift } from '#core/messages/drift';
import type { EngineEffect } from '#core/pass/engine-api';
import { type Procedure, procedureSchema } from '#core/procedure/procedure';
import type { Fault } from '../../../simulator/faults/fault.ts';
import { randomStream } from '../../../simulator/random/random-streams.ts';
import { LEAD_OHM } from '../../../simulator/rig/rig-settings.ts';
import { assignmentOf, newEngine } from '../engine-run.ts';
import { BAND_RADIUS_MM, setPointOf, type WeldedPass } from '../simulated-pass.ts';
import type { SizesOf } from './calibrate.ts';
import { faultOf, type GoodPass } from './good-variation.ts';
import { referenceWindows } from './reference-windows.ts';
import { callsOf, type Trial, timeAt } from './trial.ts';
import { weldTrialPass } from './trial-pass.ts';
import { RIGS, type RigName, TRUST_FAULTS } from './trust-faults.ts';
import { type Job, ONSET_MM, RAMP_MM, RAMPS, WATCHED_MM, WHOLE_MM } from './trust-plan.ts';

/** What a good pass left behind: its lesson for the engine, and the windows it is held against apart from it. */
export interface Lesson {
  readonly drift: Pick<PassDrift, 'teaches' | 'windows'>;
  readonly runOutMm: number | null;
  readonly rows: readonly (readonly number[])[];
}

export type Lessons = Readonly<Record<string, readonly Lesson[]>>;
export type Sizes = Readonly<Record<string, SizesOf>>;

/** What jobs after the learning need. */
export interface Known {
  readonly lessons: Lessons;
  /** By `sizeKey`. */
  readonly sizes: Sizes;
}

export const pairKey = (rig: RigName, pass: string): string => `${rig}, ${pass}`;
export const sizeKey = (fault: string, pass: string): string => `${fault}, ${pass}`;

const SIDE = 'B';
/** The tap point in an installer's words. */
const TAPS = { tip: 'contact tip to pipe', source: 'source terminals' } as const;

/** Where voltage is read at the source, limits are written for it: with the leads' drop at the nominal current. */
function procedureOf(procedure: Procedure, rig: RigName): Procedure {
  if (RIGS[rig].voltageTap !== 'source') return procedure;
  const passes = procedure.passes.map(pass => {
    const nominal = (quantity: string): number =>
      pass.limits.find(limit => limit.quantity === quantity)?.nominal ?? Number.NaN;
    const arcV = nominal('arcVoltage');
    const factor = (arcV + LEAD_OHM * nominal('weldingCurrent')) / arcV;
    const limits = pass.limits.map(limit => {
      if (!['arcVoltage', 'arcEnergy', 'heatInput'].includes(limit.quantity)) return limit;
      const { min, nominal, max } = limit;
      return {
        ...limit,
        min: min && factor * min,
        nominal: nominal && factor * nominal,
        max: max && factor * max,
      };
    });
    return { ...pass, limits };
  });
  return procedureSchema.parse({ ...procedure, passes });
}

export class TrustWorker {
  private readonly procedure: Procedure;
  private readonly weld: typeof weldTrialPass;

  /** `weld`: another way to come by the same passes, such as from a store of them. */
  constructor(procedure: Procedure, weld = weldTrialPass) {
    this.procedure = procedure;
    this.weld = weld;
  }

  learn(job: Extract<Job, { kind: 'learn' }>): Lesson {
    const { rig, pass, seed } = job;
    const welded = this.weld({ seed, rig, pass, lengthMm: WHOLE_MM, events: true, faults: [] });
    const effects = this.effects(welded, rig, pass, EMPTY_BOOK);
    const closed = effects.find(effect => effect.kind === 'pass' && effect.state === 'closed');
    if (closed?.kind !== 'pass' || !closed.pass.drift) throw new Error(`no pass was recorded: ${seed}`);
    const { teaches, windows } = closed.pass.drift;
    // What comes after a trim or a restart is no spread of good windows.
    const { trim, restartMm } = welded.good;
    const untilMm = Math.min(trim?.atMm ?? Number.POSITIVE_INFINITY, restartMm ?? Number.POSITIVE_INFINITY);
    const rows = referenceWindows(welded, untilMm);
    return { drift: { teaches, windows }, runOutMm: closed.pass.runOutLengthMm, rows };
  }

  trial(job: Exclude<Job, { kind: 'learn' }>, known: Known): Trial {
    const { rig, pass, seed } = job;
    const book = this.book(rig, pass, seed, known.lessons);
    const random = randomStream(seed, 'trust', 'fault');
    const drawnMm = ONSET_MM[0] + (ONSET_MM[1] - ONSET_MM[0]) * random.nextUnit();
    const way = random.nextUnit() < 0.5 ? -1 : 1;
    const common = { kind: job.kind, rig, pass, seed, fault: null, severity: null };
    if (job.kind === 'good') {
      return this.run({ ...common, lengthMm: WHOLE_MM, onsetMm: null }, [], book);
    }
    if (job.kind === 'ramp') {
      const ramp = RAMPS.find(({ id }) => id === job.ramp)!;
      const faults = [faultOf(ramp.kind, ramp.size, { fromMm: drawnMm, rampMm: RAMP_MM })];
      const lengthMm = drawnMm + RAMP_MM + 25;
      return this.run({ ...common, fault: ramp.id, lengthMm, onsetMm: drawnMm }, faults, book);
    }
    const fault = TRUST_FAULTS.find(({ id }) => id === job.fault)!;
    const onsetMm = fault.fromStart ? 0 : drawnMm;
    const { size } = known.sizes[sizeKey(fault.id, pass)]![job.severity];
    const signed = fault.bothWays ? way * size : size;
    const faults = fault.plan(signed, { fromMm: onsetMm, rampMm: 0 }, setPointOf(pass));
    const about = { ...common, fault: fault.id, severity: job.severity };
    return this.run({ ...about, lengthMm: onsetMm + WATCHED_MM, onsetMm }, faults, book);
  }

  private run(
    about: Omit<Trial, 'calls' | 'onsetS' | 'restartMm' | 'trim'>,
    faults: readonly Fault[],
    book: DriftBook,
  ): Trial {
    const { seed, rig, pass, lengthMm, onsetMm } = about;
    const events = about.kind === 'good';
    const welded: WeldedPass & { good: GoodPass } = this.weld({
      seed,
      rig,
      pass,
      lengthMm,
      events,
      faults,
    });
    const { restartMm, trim } = welded.good;
    const calls = callsOf(this.effects(welded, rig, pass, book), welded);
    return { ...about, restartMm, trim, onsetS: onsetMm === null ? null : timeAt(welded, onsetMm), calls };
  }

  /** As many good passes as a rig remembers, drawn from those that were welded, in their order. */
  private book(rig: RigName, pass: string, seed: number, lessons: Lessons): DriftBook {
    const random = randomStream(seed, 'trust', 'lessons');
    const all = lessons[pairKey(rig, pass)]!.filter(({ drift }) => drift.teaches.good);
    const drawn = all
      .map((lesson, at) => ({ lesson, at, order: random.nextUnit() }))
      .sort((a, b) => a.order - b.order)
      .slice(0, BOOK_PASSES)
      .sort((a, b) => a.at - b.at);
    const key = bookKey({
      procedureId: this.procedure.id,
      procedureRevision: this.procedure.revision,
      pass,
      side: SIDE,
    });
    return drawn.reduce(
      (book, { lesson }) => learnPass(book, key, lesson.drift, lesson.runOutMm),
      EMPTY_BOOK,
    );
  }

  private effects(welded: WeldedPass, rig: RigName, pass: string, book: DriftBook): EngineEffect[] {
    const { feedSensor, voltageTap } = RIGS[rig];
    const engine = newEngine(
      { samplePeriodS: 0.02, referenceRadiusMm: BAND_RADIUS_MM },
      {
        driftBook: book,
        rig: { feedReadAt: feedSensor, voltageTapPoint: TAPS[voltageTap] },
      },
    );
    const procedure = procedureOf(this.procedure, rig);
    engine.assign(
      assignmentOf({
        pass,
        side: SIDE,
        procedure,
        procedureId: procedure.id,
        procedureRevision: procedure.revision,
      }),
    );
    engine.push(welded.chunk);
    engine.finish();
    return engine.drain();
  }
}

/** Gives each pass what its changes are judged by, and learns from it when it is closed. */

import { bookEntry, bookKey, type DriftBook, EMPTY_BOOK, learnPass } from '../drift/baseline-book.ts';
import { baselinesFor } from '../drift/baselines-for.ts';
import { DEFAULT_DRIFT_SETTINGS } from '../drift/drift-settings.ts';
import { DriftWatch } from '../drift/drift-watch.ts';
import { sameZone } from '../drift/drift-zones.ts';
import type { DriftBaseline, DriftSettings } from '../messages/drift.ts';
import type { Deviation, Pass } from '../messages/pass.ts';
import { median } from '../statistics/median.ts';
import type { EngineAssignment, EngineSettings, RecordedBaselines, RigFacts } from './engine-api.ts';
import type { Work } from './work.ts';

export interface DriftOptions {
  /** Null or absent: as shipped, with the delays of the engine settings. */
  readonly driftSettings?: DriftSettings | null;
  /** What this rig's good passes taught, to go on with. */
  readonly driftBook?: DriftBook | null;
  /** Review: these, whatever the book says. */
  readonly recordedBaselines?: RecordedBaselines | null;
  readonly rig?: RigFacts | null;
}

const NO_RIG: RigFacts = { feedReadAt: null, voltageTapPoint: null };
/** Passes whose run-out says where the next one ends. */
const LEAST_PASSES = 3;
/** A side ends at 6 o'clock. */
const END_DEGREES = 180;

/** Reasons of a pass that make it no example: it was broken off, or it may be another pass. */
const UNFIT = ['interrupted', 'recordingEnded', 'recorderRestarted', 'looksLikeOtherPass'];

export class DriftDesk {
  book: DriftBook;
  /** For the next pass. */
  settings: DriftSettings;
  private readonly options: DriftOptions;
  private readonly engine: EngineSettings;

  constructor(engine: EngineSettings, options: DriftOptions) {
    this.engine = engine;
    this.options = options;
    this.book = options.driftBook ?? EMPTY_BOOK;
    const { onDelayS, offDelayS } = engine;
    this.settings = options.driftSettings ?? { ...DEFAULT_DRIFT_SETTINGS, onDelayS, offDelayS };
  }

  /** For a pass that begins at `startUs`; with the settings of `kept` where it only got its procedure. */
  watch(work: Work, startUs: number, settings: DriftSettings = this.settings): DriftWatch {
    const recorded = this.options.recordedBaselines;
    const key = keyOf(work);
    const entry = key === null ? null : bookEntry(this.book, key);
    const notJudged = whyNotJudged(work);
    const own = baselinesFor(entry, work.limits);
    const baselines = recorded ? own.map(one => recordedFor(one, recorded.baselines)) : own;
    const runOuts = (entry?.passes ?? []).flatMap(({ runOutMm }) => runOutMm ?? []);
    const ends = halfRoundMm(work.assignment) ?? (runOuts.length >= LEAST_PASSES ? median(runOuts) : null);
    return new DriftWatch(
      {
        settings,
        limits: notJudged === null ? work.limits : [],
        baselines: notJudged === null ? baselines : [],
        windowLengthMm: this.engine.windowLengthMm,
        travelRatio: work.geometry.travelRatio,
        passEndMm: recorded ? recorded.passEndMm : ends,
        passType: work.pass?.type ?? null,
        side: work.assignment?.side ?? null,
        wireDiameterMm: work.pass?.wire?.diameterMm ?? null,
        nominalCtwdMm:
          work.limits.find(({ quantity }) => quantity === 'contactTipToWorkDistance')?.nominal ?? null,
        ...(this.options.rig ?? NO_RIG),
        notJudged,
      },
      startUs,
    );
  }

  learn(work: Work, pass: Pass): void {
    const key = keyOf(work);
    if (key === null || !pass.drift || this.options.recordedBaselines) return;
    this.book = learnPass(this.book, key, pass.drift, pass.runOutLengthMm);
  }
}

/** What speaks against a closed pass as an example for the next. */
export function unfitToTeach(
  pass: Pick<Pass, 'reasons'>,
  deviations: readonly Deviation[],
  closed: boolean,
): string | null {
  if (!closed) return 'the pass is open';
  if (deviations.length > 0) return 'it was out of range';
  const reason = pass.reasons.find(({ code }) => UNFIT.includes(code));
  return reason ? reason.text.slice(0, 200) : null;
}

/** The recorded one of the same zone, else of all round; a zone that the record did not have is judged anew. */
function recordedFor(own: DriftBaseline, recorded: readonly DriftBaseline[]): DriftBaseline {
  const of = (zone: DriftBaseline['clockZone']): DriftBaseline | undefined =>
    recorded.find(({ clockZone }) => sameZone(clockZone, zone));
  return of(own.clockZone) ?? of(null) ?? own;
}

function whyNotJudged({ assignment, procedure, pass }: Work): string | null {
  if (assignment?.driftNotJudged) return assignment.driftNotJudged.slice(0, 200);
  if (pass) return null;
  if (procedure) return 'it is not assigned to a pass of the procedure';
  return assignment ? 'the assigned procedure revision has not arrived' : 'nothing is assigned';
}

function keyOf({ assignment, procedure, pass }: Work): string | null {
  if (!procedure || !pass) return null;
  return bookKey({
    procedureId: procedure.id,
    procedureRevision: procedure.revision,
    pass: pass.name,
    side: assignment?.side ?? null,
  });
}

/** From where the side starts to 6 o'clock, mm along the pipe's outside. */
function halfRoundMm(assignment: EngineAssignment | null): number | null {
  if (!assignment) return null;
  const degrees = END_DEGREES - assignment.startDegrees;
  const length = (degrees / 360) * Math.PI * assignment.outsideDiameterMm;
  return length > 0 ? length : null;
}

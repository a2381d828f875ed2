/**
 * A moved pass held against the limits of where it was moved: the engine that ran live, over the stored samples of
 * the pass. The sealed record is not touched; its own verdicts stay beside these.
 */
import type { EntryOf } from '#core/journal/entry';
import type { Judgement } from '#core/messages/api-pass-journal';
import type { PassMessage } from '#core/messages/pass';
import type { DriftOptions } from '#core/pass/drift-desk';
import type { EngineAssignment, EngineSettings } from '#core/pass/engine-api';
import { DEFAULT_ENGINE_SETTINGS } from '#core/pass/pass-engine';
import type { DashboardStore } from '../store/store.ts';
import { rerunPass } from './rerun.ts';

type Settings = EngineSettings['uncertainty'];
const CHANNEL_OF = {
  weldingCurrent: 'current',
  arcVoltage: 'voltage',
  wireFeedSpeed: 'wireFeed',
  travelSpeed: 'travel',
} as const;

/** Standard relative uncertainties as the rig judged with: its verdicts carry them, its settings are not sent. */
export function uncertaintyOf({ pass }: PassMessage): Settings {
  const found: { -readonly [K in keyof Settings]: number | null } = {
    ...DEFAULT_ENGINE_SETTINGS.uncertainty,
  };
  for (const { quantity, value, expandedUncertainty } of pass.verdicts) {
    const channel = CHANNEL_OF[quantity as keyof typeof CHANNEL_OF];
    if (!channel || value === null || value === 0 || expandedUncertainty === null) continue;
    found[channel] ??= expandedUncertainty / 2 / Math.abs(value);
  }
  return found;
}

/** The delays of the out-of-range rule as the rig judged with, where its record says them. */
function delaysOf({ pass }: PassMessage): Partial<EngineSettings> {
  const { onDelayS, offDelayS } = pass.drift?.settings ?? {};
  return onDelayS === undefined || offDelayS === undefined ? {} : { onDelayS, offDelayS };
}

/**
 * Settings and baselines of the record: what this rig had taught when the pass was welded. A pass that was moved to
 * another pass or side is no example of that: it is held against the procedure's range.
 */
function driftOptions({ pass, side }: PassMessage, to: { pass: string; side: string }): DriftOptions {
  const { drift } = pass;
  if (!drift) return {};
  const same = pass.procedurePass === to.pass && side === to.side;
  return {
    driftSettings: drift.settings,
    recordedBaselines: { baselines: same ? drift.baselines : [], passEndMm: drift.passEndMm },
  };
}

export interface RejudgeContext {
  readonly store: DashboardStore;
  readonly software: string;
  readonly at: string;
  /** Of the rig, where it has said so. */
  readonly referenceRadiusMm: number | null;
}

export function rejudge(pass: PassMessage, move: EntryOf<'passMoved'>, context: RejudgeContext): Judgement {
  const { store, software, at, referenceRadiusMm } = context;
  const { body } = move;
  const procedure = store.procedure(body.procedureId, body.procedureRevision)?.procedure ?? null;
  const answer = (parts: Partial<Judgement>): Judgement => ({
    basis: 'moved',
    entryId: move.id,
    procedureId: body.procedureId,
    procedureRevision: body.procedureRevision,
    pass: body.pass,
    verdicts: [],
    deviations: [],
    at,
    software,
    notes: [],
    ...parts,
  });
  const work = pass.assignmentId === null ? null : (store.assignment(pass.assignmentId)?.work ?? null);
  const assignment: EngineAssignment = {
    id: move.id,
    joint: body.joint,
    side: body.side,
    pass: body.pass,
    outsideDiameterMm: work?.outsideDiameterMm ?? procedure?.pipe?.outsideDiameterMm ?? Number.NaN,
    // Where it began is as it was; a pass recorded without a side is taken to start at its 12 o'clock.
    startDegrees: work?.startDegrees ?? 0,
    procedureId: body.procedureId,
    procedureRevision: body.procedureRevision,
    procedure,
  };
  if (!Number.isFinite(assignment.outsideDiameterMm)) {
    return answer({
      notes: ['Neither its assignment nor the WPS gives an outside diameter: it cannot be judged again.'],
    });
  }
  const settings = { referenceRadiusMm, uncertainty: uncertaintyOf(pass), ...delaysOf(pass) };
  const run = rerunPass(pass, assignment, store, settings, driftOptions(pass, body));
  if (run.kind === 'not') return answer({ notes: [run.why] });
  const judged = run.closed;
  return answer({
    verdicts: judged.pass.verdicts,
    deviations: [...judged.deviations],
    ...(judged.pass.drift ? { drift: judged.pass.drift } : {}),
    notes: [
      ...(run.incomplete ? ['Samples are missing inside the pass; what is there was judged.'] : []),
      ...(procedure?.waveformControlled === true && judged.pass.energyBasis === 'frameProduct'
        ? ['Energy is from mean values of a waveform-controlled source and is not judged.']
        : []),
      ...(work === null
        ? ['Positions are counted from 12 o’clock: the record does not say where the pass began.']
        : []),
    ],
  });
}

/** Settings tried on recorded passes: the same samples, the same baseline, other settings. Nothing is stored. */
import type { Trial } from '#core/messages/api-watch';
import type { DriftSettings } from '#core/messages/drift';
import type { PassMessage } from '#core/messages/pass';
import type { EngineAssignment } from '#core/pass/engine-api';
import type { RigAddress } from '#core/topics/topics';
import { uncertaintyOf } from '../api/rejudge.ts';
import { rerunPass } from '../api/rerun.ts';
import type { DashboardStore } from '../store/store.ts';
import { callCounts } from './recorded-calls.ts';
import { computedEffect } from './watch-state.ts';

const TRIED_PASSES = 20;
/** Passes that are looked at to find as many that can be judged again. */
const LOOKED_AT = 60;

export interface TrialContext {
  readonly store: DashboardStore;
  /** Reference radius of a rig as it said, mm. */
  readonly radiusOf: (address: RigAddress) => number | null;
}

/** Gives way after every pass. */
export function* trial(settings: DriftSettings, context: TrialContext): Generator<void, Trial> {
  const { store } = context;
  const passes: Trial['passes'] = [];
  const left = new Map<string, number>();
  for (const message of store.passes({ limit: LOOKED_AT }).items) {
    if (message.state !== 'closed') continue;
    if (passes.length === TRIED_PASSES) break;
    const again = tried(message, settings, context);
    if (typeof again === 'string') left.set(again, (left.get(again) ?? 0) + 1);
    else passes.push(again);
    yield;
  }
  return {
    settings,
    computed: computedEffect(settings, store),
    passes,
    notes: [...left].map(([why, count]) => `${count} ${count === 1 ? 'pass' : 'passes'} left out: ${why}`),
  };
}

/** The pass called again, or one sentence why it cannot be. */
function tried(
  message: PassMessage,
  settings: DriftSettings,
  { store, radiusOf }: TrialContext,
): Trial['passes'][number] | string {
  const { passId, origin, site, rig, joint, side, pass, startUtc, assignmentId } = message;
  if (pass.drift === undefined) return 'its edge did not follow changes along the weld.';
  const assignment = assignmentOf(assignmentId, store);
  if (!assignment) return 'nothing was assigned, or its WPS revision is not stored here.';
  const { baselines, passEndMm } = pass.drift;
  const run = rerunPass(
    message,
    assignment,
    store,
    {
      referenceRadiusMm: radiusOf(message),
      uncertainty: uncertaintyOf(message),
      onDelayS: settings.onDelayS,
      offDelayS: settings.offDelayS,
    },
    { driftSettings: settings, recordedBaselines: { baselines, passEndMm } },
  );
  if (run.kind === 'not') return run.why;
  return {
    passId,
    origin,
    site,
    rig,
    joint,
    side,
    pass: pass.procedurePass,
    startUtc,
    recorded: callCounts(message),
    tried: callCounts(run.closed),
  };
}

function assignmentOf(id: string | null, store: DashboardStore): EngineAssignment | null {
  const stored = id === null ? null : store.assignment(id);
  if (!stored?.work) return null;
  const { work } = stored;
  const entry = store.procedure(work.procedureId, work.procedureRevision);
  return entry ? { id: stored.id, ...work, procedure: entry.procedure } : null;
}

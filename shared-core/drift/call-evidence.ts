import { DRIFT_CHANNELS, type DriftChannel } from '../messages/drift.ts';
import type { CallContext, CallPass } from './call-list.ts';
import type { ChangeEvidence, ChannelChange } from './change-evidence.ts';
import type { ChannelWatch } from './channel-watch.ts';
import { FIRST_SPREAD } from './drift-values.ts';
import type { OpenCall } from './open-call.ts';
import type { RecentSteps } from './recent-steps.ts';
import type { Targets } from './targets.ts';

/** How much of the newest weld says where a ramp stands, mm. */
const NOW_MM = 25;
/** The change itself is no unrest: weld after the onset before that is looked at, mm. */
const AFTER_CHANGE_MM = 10;

/** All that is known about a change: every channel since its onset, the pass and the rig. */
export function evidenceOf(
  call: Pick<OpenCall, 'fromMm' | 'shape'>,
  known: {
    readonly pass: CallPass;
    readonly targets: Targets;
    readonly watches: readonly ChannelWatch[];
    readonly recent: RecentSteps;
    /** Where the first weld judged began. */
    readonly firstMm: number;
    readonly context: CallContext;
  },
): ChangeEvidence {
  const { pass, targets, watches, recent, context } = known;
  const channels: { [K in DriftChannel]?: ChannelChange } = {};
  const sinceMm = call.shape === 'ramp' ? Math.max(call.fromMm, context.alongMm - NOW_MM) : call.fromMm;
  DRIFT_CHANNELS.forEach((name, channel) => {
    const sigma = targets.sigma[channel]!;
    const fromMm = channel < FIRST_SPREAD ? sinceMm : Math.max(sinceMm, call.fromMm + AFTER_CHANGE_MM);
    const now = recent.meanBetween(channel, fromMm, Number.POSITIVE_INFINITY);
    if (now === null || Number.isNaN(sigma)) return;
    const baseline = targets.mean[channel]! + watches[channel]!.offset;
    channels[name] = { baseline, now, deviations: (now - baseline) / sigma, sigma };
  });
  return {
    channels,
    shape: call.shape ?? 'step',
    lengthMm: context.alongMm - call.fromMm,
    side: pass.side,
    feedReadAt: pass.feedReadAt,
    voltageTapPoint: pass.voltageTapPoint,
    wireDiameterMm: pass.wireDiameterMm,
    nominalCtwdMm: pass.nominalCtwdMm,
    extinctions: context.extinctionsSince(call.fromMm),
    passMismatch: context.passMismatch,
    // Tip changes are entered by people and reach no edge.
    sinceTipChangeMm: null,
    onsetMm: Math.max(0, call.fromMm - known.firstMm),
  };
}

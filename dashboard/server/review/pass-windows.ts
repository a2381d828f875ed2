/** Windows of weld of a recorded pass: cut by the engine that ran live, from the stored samples. */
import { type ReviewWindow, WINDOW_QUANTITIES } from '#core/messages/api-review';
import type { PassMessage } from '#core/messages/pass';
import type { EngineAssignment } from '#core/pass/engine-api';
import { quantityMeans } from '#core/pass/quantities';
import { circumferentialPosition, DEFAULT_SENSE } from '#core/position/circumferential-position';
import { inClockZone } from '#core/position/clock-position';
import { beyond, type ResolvedLimit, resolveLimits } from '#core/procedure/limits';
import { uncertaintyOf } from '../api/rejudge.ts';
import { rerunPass } from '../api/rerun.ts';
import type { DashboardStore } from '../store/store.ts';

export interface PassWindows {
  readonly windows: readonly ReviewWindow[];
  /** Why there are none, or not all. */
  readonly note: string | null;
}

/**
 * `assignment`: what the pass counts as now. Places count from where the recorded pass began, so that what the
 * engine finds in the pass alone lies where it lay in the whole recording.
 */
export function passWindows(
  message: PassMessage,
  assignment: EngineAssignment | null,
  store: DashboardStore,
  referenceRadiusMm: number | null,
): PassWindows {
  if (!assignment) return { windows: [], note: 'Nothing is assigned, so no place on the joint is known.' };
  const run = rerunPass(message, assignment, store, {
    referenceRadiusMm,
    uncertainty: uncertaintyOf(message),
  });
  if (run.kind === 'not') return { windows: [], note: run.why };
  const { windows, geometry, startUs } = run.closed;
  const offsetMm = message.pass.startPositionMm;
  const limits = windowLimits(assignment);
  const clockAt = (alongMm: number | null): number | null =>
    alongMm === null
      ? null
      : circumferentialPosition({
          alongMm,
          side: assignment.side,
          startDegrees: startClockwise(assignment),
          outsideDiameterMm: assignment.outsideDiameterMm,
        }).clock;
  const shown = windows.map((window): ReviewWindow => {
    const means = quantityMeans(window.sums, geometry);
    const fromMm = offsetMm === null ? null : offsetMm + window.fromMm;
    const toMm = offsetMm === null ? null : offsetMm + window.toMm;
    const middle = clockAt(fromMm === null || toMm === null ? null : (fromMm + toMm) / 2);
    return {
      fromMm,
      toMm,
      fromS: (window.fromUs - startUs) / 1e6,
      toS: (window.toUs - startUs) / 1e6,
      fromClock: clockAt(fromMm),
      toClock: clockAt(toMm),
      values: Object.fromEntries(
        WINDOW_QUANTITIES.map(quantity => [quantity, means[quantity]]),
      ) as ReviewWindow['values'],
      out: limits.flatMap(limit => {
        const value = means[limit.quantity as keyof typeof means] ?? null;
        const applies = !limit.clockZone || (middle !== null && inClockZone(middle, limit.clockZone));
        return applies && value !== null && (beyond(value, limit) ?? 0) > 0 ? [limit.quantity] : [];
      }),
    };
  });
  return {
    windows: shown,
    note: run.incomplete ? 'Samples are missing inside the pass: windows stand for what is there.' : null,
  };
}

/** An assignment counts where a side starts in the side's own direction; here it is clockwise from the top. */
export const startClockwise = ({ side, startDegrees }: EngineAssignment): number =>
  DEFAULT_SENSE[side] * startDegrees;

function windowLimits({ procedure, pass }: EngineAssignment): ResolvedLimit[] {
  const named = procedure?.passes.find(({ name }) => name === pass);
  return named ? resolveLimits(named).filter(({ basis }) => basis === 'window') : [];
}

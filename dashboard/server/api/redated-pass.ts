/** A pass recorded before the clock of its edge was set, with the dates the clock map gives it now. */
import type { RedatedPass } from '#core/messages/api-pass-journal';
import type { PassMessage } from '#core/messages/pass';
import { mapFor, utcMsBy } from '#core/record/redate';
import type { DashboardStore } from '../store/store.ts';

/** Null where the clock was set, or nothing that was recorded since tells the time. The record keeps its own dates. */
export function redatedPass(
  store: Pick<DashboardStore, 'clockMapAfter'>,
  pass: PassMessage,
): RedatedPass | null {
  if (pass.clock.state !== 'unsynced') return null;
  const row = mapFor(store.clockMapAfter(pass, pass.stream, pass.endUs), pass.endUs);
  if (!row) return null;
  const utc = (us: number): string => new Date(utcMsBy(row, us)).toISOString();
  return { startUtc: utc(pass.startUs), endUtc: utc(pass.endUs), knownSinceUtc: utc(row.recordUs) };
}

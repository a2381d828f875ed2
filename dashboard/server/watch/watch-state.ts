/** How changes along the weld are called now, what that does by computation, and how right the calls were. */
import { DEFAULT_DRIFT_SETTINGS } from '#core/drift/drift-settings';
import { effectOf } from '#core/drift/effect-of';
import type { ComputedEffect, MeasuredTrust, WatchState } from '#core/messages/api-watch';
import { ORIGINS, type Origin } from '#core/messages/common';
import { type DriftSettings, PATTERN_CHANNELS } from '#core/messages/drift';
import type { PassMessage } from '#core/messages/pass';
import { median } from '#core/statistics/median';
import { poissonInterval } from '#core/statistics/poisson-interval';
import type { DashboardStore } from '../store/store.ts';
import { currentSettings } from './current-settings.ts';
import { callsOf, marksOf } from './recorded-calls.ts';

/** Passes that trust is measured on, newest. */
const MEASURED_PASSES = 500;
/** Half a circumference of 610 mm in windows of 25 mm: what is assumed until passes are recorded. */
const EXAMPLE = { windowsPerPass: 38, windowMm: 25, channels: PATTERN_CHANNELS.length };
const CONFIDENCE = 0.95;
/** As many as half a shift: fewer say little of the usual pass. */
const ENOUGH_PASSES = 10;

/** Gives way after every page of passes. */
export function* watchState(store: DashboardStore): Generator<void, WatchState> {
  const passes: { readonly origin: Origin; readonly passes: readonly PassMessage[] }[] = [];
  for (const origin of ORIGINS) passes.push({ origin, passes: yield* newestClosed(store, origin) });
  const { settings, changed } = currentSettings(store);
  return {
    settings,
    changed,
    asShipped: DEFAULT_DRIFT_SETTINGS,
    computed: computedEffect(settings, store),
    measured: passes
      .filter(one => one.passes.length > 0)
      .map(one => measuredTrust(store, one.origin, one.passes)),
  };
}

/** For the usual pass of those recorded last. */
export function computedEffect(settings: DriftSettings, store: DashboardStore): ComputedEffect {
  const recorded = store
    .passes({ limit: 100 })
    .items.flatMap(({ state, pass }) => (state === 'closed' && pass.drift ? [pass] : []));
  const windows = recorded.map(({ drift }) => drift!.windows.reduce((sum, one) => sum + one.windows, 0));
  const usual = recorded.length < ENOUGH_PASSES ? null : median(windows);
  const channels = recorded.length < ENOUGH_PASSES ? null : median(recorded.map(channelsFollowed));
  const assumed =
    usual === null || channels === null || usual === 0 || channels === 0
      ? EXAMPLE
      : { ...EXAMPLE, windowsPerPass: usual, channels };
  const effect = effectOf(settings, assumed);
  const shown = (chart: typeof effect.cusum) => ({ ...chart, shifts: [...chart.shifts] });
  return {
    cusum: shown(effect.cusum),
    ewma: shown(effect.ewma),
    patternFalseCallsPer100Passes: effect.patternFalseCallsPer100Passes,
    assumed: { ...assumed, passes: assumed === EXAMPLE ? 0 : recorded.length },
  };
}

function channelsFollowed({ drift }: PassMessage['pass']): number {
  return new Set(drift!.baselines.flatMap(({ channels }) => channels)).size;
}

function measuredTrust(store: DashboardStore, origin: Origin, passes: readonly PassMessage[]): MeasuredTrust {
  const marks = marksOf(store);
  const calls = passes.flatMap(pass => callsOf(pass, marks)).filter(({ rule }) => rule !== 'trim');
  const marked = (mark: string): number => calls.filter(call => call.mark?.mark === mark).length;
  const [real, notReal, unknown] = [marked('real'), marked('notReal'), marked('unknown')];
  const known = passes.length > 0 && (calls.length === 0 || real + notReal > 0);
  const per100 = 100 / passes.length;
  return {
    origin,
    passes: passes.length,
    calls: calls.length,
    real,
    notReal,
    unknown,
    unmarked: calls.length - real - notReal - unknown,
    falseCallsPer100Passes: known ? notReal * per100 : null,
    interval: known
      ? (poissonInterval(notReal, CONFIDENCE).map(count => count * per100) as [number, number])
      : null,
    sinceUtc: passes.at(-1)?.startUtc ?? null,
  };
}

function* newestClosed(store: DashboardStore, origin: Origin): Generator<void, PassMessage[]> {
  const found: PassMessage[] = [];
  let before: string | undefined;
  do {
    const { items, next } = store.passes({ origin, limit: 200, before });
    found.push(...items.filter(({ state }) => state === 'closed'));
    before = next ?? undefined;
    yield;
  } while (before !== undefined && found.length < MEASURED_PASSES);
  return found.slice(0, MEASURED_PASSES);
}

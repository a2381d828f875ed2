import type { MeasuredTrust, WatchState } from '#core/messages/api-watch';
import { useApp } from '../../app-context.ts';
import { format, text } from '../../text/text.ts';
import { useRead } from './use-read.ts';

/** The measured rate of false calls beside the computed one. `version` changes when something was marked. */
export function TrustFigures({ version }: { readonly version: number }) {
  const { api } = useApp();
  const t = text.value.changes.trust;
  const { value } = useRead(`watch ${version}`, () => api.get<WatchState>(['watch']));
  if (value === null) return null;
  const { cusum, patternFalseCallsPer100Passes } = value.computed;
  const computed = cusum.falseCallsPer100Passes + patternFalseCallsPer100Passes;
  return (
    <section class="trust-figures" aria-label={t.title}>
      <h2>{t.title}</h2>
      {value.measured.length === 0 && <p>{t.none}</p>}
      {value.measured.map(measured => (
        <Measured key={measured.origin} measured={measured} />
      ))}
      <p class="hint">{t.computed(format().fixed(computed, 2))}</p>
    </section>
  );
}

function Measured({ measured }: { readonly measured: MeasuredTrust }) {
  const t = text.value;
  const w = t.changes.trust;
  const { fixed } = format();
  const { origin, passes, calls, real, notReal, unknown, unmarked, falseCallsPer100Passes, interval } =
    measured;
  return (
    <p>
      <strong class="origin-mark">{t.origin[origin]}</strong> {w.line(passes, calls)}
      {calls > 0 && `: ${w.marks(real, notReal, unknown, unmarked)}`}.{' '}
      <strong>
        {falseCallsPer100Passes === null || interval === null
          ? w.unmarked
          : unmarked + unknown > 0
            ? w.rateLeast(fixed(falseCallsPer100Passes, 2))
            : w.rate(fixed(falseCallsPer100Passes, 2), fixed(interval[0], 2), fixed(interval[1], 2))}
      </strong>
    </p>
  );
}

import type { ChartEffect } from '#core/drift/effect-of';
import type { ComputedEffect } from '#core/messages/api-watch';
import { format, text } from '../../text/text.ts';

interface EffectWordsProps {
  readonly effect: Omit<ComputedEffect, 'assumed'>;
  readonly assumed: ComputedEffect['assumed'];
}

/** What settings do, in words and in weld: false calls of good passes, and how soon a change is called. */
export function EffectWords({ effect, assumed }: EffectWordsProps) {
  const t = text.value.changes.settings;
  const { fixed, measure } = format();
  const from = assumed.passes === 0 ? t.fromExample : t.fromPasses(assumed.passes);
  const perPass = t.perPass(
    fixed(assumed.windowsPerPass, 0),
    measure('length', assumed.windowMm),
    fixed(assumed.channels, 0),
    from,
  );
  return (
    <>
      <p>{perPass}</p>
      <ChartWords chart={effect.cusum} />
      <p>{t.pattern(onePassIn(effect.patternFalseCallsPer100Passes))}</p>
      <h3>{t.average}</h3>
      <p>{t.averageOnly}</p>
      <ChartWords chart={effect.ewma} />
      <p class="hint">{t.caveat}</p>
    </>
  );
}

/** Passes until a false call, to two digits: more would be false precision. */
function onePassIn(per100: number): string {
  const passes = 100 / per100;
  if (!Number.isFinite(passes)) return '∞';
  return passes < 10 ? format().fixed(passes, 1) : String(Number(passes.toPrecision(2)));
}

/** Rarer than this nobody will live to see. */
const NEVER_PER_100 = 1e-6;

function ChartWords({ chart }: { readonly chart: ChartEffect }) {
  const t = text.value.changes.settings;
  const { fixed, measure } = format();
  return (
    <ul>
      <li>
        {chart.falseCallsPer100Passes < NEVER_PER_100
          ? t.falseNever
          : t.falseCall(onePassIn(chart.falseCallsPer100Passes))}
      </li>
      {chart.shifts.map(({ sigma, windows, weldMm }) => (
        <li key={sigma}>
          {windows === null || weldMm === null
            ? t.seenNever(fixed(sigma, 0))
            : t.seen(fixed(sigma, 0), fixed(windows, 1), measure('length', weldMm))}
        </li>
      ))}
    </ul>
  );
}

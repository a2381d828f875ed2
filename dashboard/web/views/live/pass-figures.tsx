import { shownValue } from '../../charts/band-bar.tsx';
import type { SideView } from '../../data/side-view.ts';
import { durationText } from '../../text/format.ts';
import { format, text } from '../../text/text.ts';

/** What the pass has come to so far; every figure dashed when there is no data. */
export function PassFigures({ view }: { readonly view: SideView }) {
  const t = text.value;
  const { units, value } = format();
  const { pass } = view;
  const uncertainty = pass?.arcEnergyUncertaintyKjMm ?? null;
  const notes =
    pass === null
      ? []
      : [
          t.energyBasis[pass.energyBasis],
          ...(pass.standingArcS === null ? [] : [t.standingArc(format().fixed(pass.standingArcS, 1))]),
          t.restarts(pass.restarts),
          ...(pass.unobservedS > 0 ? [t.unobserved(format().fixed(pass.unobservedS, 1))] : []),
        ];
  return (
    <div class="figures">
      <dl>
        <div>
          <dt>{t.arcTime}</dt>
          <dd>{durationText(pass?.arcTimeS ?? null)}</dd>
        </div>
        <div>
          <dt>{t.runOut(units.length.unit)}</dt>
          <dd>{value('length', pass?.runOutLengthMm ?? null)}</dd>
        </div>
        <div>
          <dt>{t.arcEnergyIn(units.arcEnergy.unit)}</dt>
          <dd>
            {shownValue('arcEnergy', pass?.arcEnergyKjMm ?? null)}
            {uncertainty !== null && <small> {t.plusMinus(value('arcEnergy', uncertainty))}</small>}
          </dd>
        </div>
        <div>
          <dt>{t.heatInputIn(units.heatInput.unit)}</dt>
          <dd>{shownValue('heatInput', pass?.heatInputKjMm ?? null)}</dd>
        </div>
      </dl>
      <p class="figure-notes">{notes.join(' · ')}</p>
    </div>
  );
}

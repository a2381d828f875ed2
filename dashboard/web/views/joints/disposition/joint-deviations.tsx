import type { Deviation, PassMessage } from '#core/messages/pass';
import { displays, format, text } from '../../../text/text.ts';

/** What the record says happened to the passes, beside a ruling about them. No data is said, never left out. */
export function JointDeviations({ passes }: { readonly passes: readonly PassMessage[] }) {
  const t = text.value.dispositions;
  const all = passes.flatMap(pass => pass.deviations.map((deviation, n) => ({ pass, deviation, n })));
  return (
    <section aria-labelledby="deviations-title">
      <h2 id="deviations-title">{t.deviationsTitle}</h2>
      {passes.length === 0 && <p class="message nodata">{t.noPasses}</p>}
      {passes.length > 0 && all.length === 0 && <p>{t.noDeviations}</p>}
      <ul class="readings">
        {all.map(({ pass, deviation, n }) => (
          <li key={`${pass.passId} ${n}`}>
            <bdi>{deviationWords(pass, deviation)}</bdi>
          </li>
        ))}
      </ul>
    </section>
  );
}

function deviationWords(message: PassMessage, deviation: Deviation): string {
  const t = text.value.dispositions;
  const { quantity, extreme, min, max, fromMm, toMm } = deviation;
  const display = displays()[quantity] ?? {
    unit: deviation.unit,
    decimals: 2,
    shown: (x: number) => x,
  };
  const shown = (value: number | null): string =>
    value === null ? t.noLimit : format().fixed(display.shown(value), display.decimals);
  const side = message.side === null ? '' : `, ${text.value.sideOf(message.side)}`;
  const name = `${message.pass.procedurePass ?? text.value.joints.noPassPlace}${side}`;
  const where =
    fromMm === null || toMm === null
      ? t.whereUnknown
      : t.where(format().value('length', fromMm), format().measure('length', toMm));
  const what = text.value.quantity[quantity] ?? quantity;
  return `${t.deviation(name, what, shown(extreme), `${shown(min)} – ${shown(max)}`, display.unit)} · ${where}`;
}

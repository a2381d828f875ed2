import type { ReviewPass } from '#core/messages/api-review';
import { More } from '../../parts/more.tsx';
import { whenText } from '../../parts/when-text.ts';
import { said } from '../../text/said.ts';
import { displays, format, text } from '../../text/text.ts';

/** Summary, verdicts, quality and events of one pass. */
export function PassFacts({ pass }: { readonly pass: ReviewPass }) {
  const t = text.value;
  const r = t.review.pass;
  const { fixed, measure, value } = format();
  const { message, judgements, depth, quality, events } = pass;
  const p = message.pass;
  const judged = judgements.at(-1);
  const shown = (quantity: string, stored: number | null): string => {
    const display = displays()[quantity];
    if (stored === null || !display) return fixed(stored, 2);
    return fixed(display.shown(stored), display.decimals);
  };
  const notes = [
    ...(quality.gaps.length > 0 || quality.unobservedS > 0
      ? [r.gaps(quality.gaps.length, fixed(quality.unobservedS, 1))]
      : []),
    ...(quality.missingChannels.length > 0
      ? [r.missing(quality.missingChannels.map(one => t.changes.quantity[one] ?? one).join(', '))]
      : []),
    ...(quality.pruned ? [r.pruned] : []),
  ];
  return (
    <>
      <p>
        <strong>
          {r.summary(
            fixed(p.arcTimeS, 0),
            measure('length', p.runOutLengthMm),
            measure('arcEnergy', p.arcEnergyKjMm, 1),
            measure('heatInput', p.heatInputKjMm, 1),
          )}
        </strong>{' '}
        <span class="hint">{whenText(message.startUtc)}</span>
      </p>
      {pass.repairOf !== null && <p class="moved">{r.repairNote}</p>}
      {judged?.basis === 'moved' && <p class="moved">{r.moved(judged.pass ?? '')}</p>}
      <p>
        {depth === null
          ? r.depthUnknown
          : r.depth(value('size', depth.topMm), measure('size', depth.bottomMm))}
      </p>
      <p>
        {r.quality}: {notes.length === 0 ? r.qualityOk : notes.join('; ')}
        {quality.voltageTapPoint !== null && <span class="hint"> {r.tap(quality.voltageTapPoint)}</span>}
        {quality.clock.offsetMs !== null && (
          <span class="hint"> {r.offset(fixed(quality.clock.offsetMs, 0))}</span>
        )}
      </p>
      <table class="plain-table">
        <caption class="sr-only">{r.verdicts}</caption>
        <thead>
          <tr>
            <th scope="col">{r.columns.quantity}</th>
            <th scope="col">{r.columns.limits}</th>
            <th scope="col">{r.columns.value}</th>
            <th scope="col">{r.columns.verdict}</th>
          </tr>
        </thead>
        <tbody>
          {(judged?.verdicts ?? []).map((verdict, i) => (
            <tr key={`${verdict.quantity} ${verdict.basis} ${i}`} data-verdict={verdict.state}>
              <th scope="row">
                {t.changes.quantity[verdict.quantity] ?? verdict.quantity}{' '}
                <span class="hint">{t.basis[verdict.basis]}</span>
              </th>
              <td data-label={r.columns.limits}>
                {shown(verdict.quantity, verdict.min)} – {shown(verdict.quantity, verdict.max)}{' '}
                {displays()[verdict.quantity]?.unit ?? verdict.unit}
              </td>
              <td data-label={r.columns.value}>{shown(verdict.quantity, verdict.value)}</td>
              <td data-label={r.columns.verdict}>
                {verdict.state === 'out' ? '◆ ' : ''}
                {r.states[verdict.state]}
                {verdict.reason !== null && <span class="hint"> {said(verdict.reason)}</span>}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <More label={`${r.events} (${events.length})`} open={false}>
        {events.length === 0 ? (
          <p>{r.noEvents}</p>
        ) : (
          <table class="plain-table">
            <thead>
              <tr>
                <th scope="col">{r.columns.time}</th>
                <th scope="col">{r.columns.where}</th>
                <th scope="col">{r.columns.what}</th>
              </tr>
            </thead>
            <tbody>
              {events.map(({ id, tS, alongMm, text: what }) => (
                <tr key={id}>
                  <td data-label={r.columns.time}>{fixed(tS, 1)} s</td>
                  <td data-label={r.columns.where}>{alongMm === null ? '' : measure('length', alongMm)}</td>
                  <td data-label={r.columns.what}>
                    <bdi>{said(what)}</bdi>
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        )}
      </More>
    </>
  );
}

import type { JointReview, ReviewPass } from '#core/messages/api-review';
import type { ShownQuantity } from '#core/units/shown-units';
import { format, text } from '../../text/text.ts';
import { worstState } from './pass-verdict.ts';
import { type ReviewRoute, reviewUrl } from './review-route.ts';
import { toInspector } from './to-inspector.ts';

interface PassTableProps {
  readonly review: JointReview;
  readonly route: ReviewRoute;
  readonly picked: string | null;
}

/** Every recorded pass in the order welded: what it took and how it stands against its limits. */
export function PassTable({ review, route, picked }: PassTableProps) {
  const t = text.value;
  const r = t.review.passes;
  const { fixed, units, value } = format();
  const inUnit = (name: string, quantity: ShownQuantity): string => `${name}, ${units[quantity].unit}`;
  const columns: readonly (readonly [string, (pass: ReviewPass) => string])[] = [
    [r.arcTime, ({ message }) => fixed(message.pass.arcTimeS, 0)],
    [inUnit(r.runOut, 'length'), ({ message }) => value('length', message.pass.runOutLengthMm)],
    [
      inUnit(r.current, 'weldingCurrent'),
      ({ message }) => value('weldingCurrent', message.pass.meanCurrentA),
    ],
    [inUnit(r.voltage, 'arcVoltage'), ({ message }) => value('arcVoltage', message.pass.meanVoltageV)],
    [inUnit(r.feed, 'wireFeedSpeed'), ({ message }) => value('wireFeedSpeed', message.pass.meanWireFeedMmS)],
    [inUnit(r.travel, 'travelSpeed'), ({ message }) => value('travelSpeed', message.pass.meanTravelMmS)],
    [inUnit(r.energy, 'arcEnergy'), ({ message }) => value('arcEnergy', message.pass.arcEnergyKjMm, 1)],
    [inUnit(r.heat, 'heatInput'), ({ message }) => value('heatInput', message.pass.heatInputKjMm, 1)],
    [r.deviations, ({ message }) => String(message.deviations.length)],
    [
      r.verdict,
      pass => {
        const state = worstState(pass);
        return state === 'out' ? t.review.rows.outMark : t.review.pass.states[state];
      },
    ],
  ];
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls is scrolled with the keyboard too
    <section class="table-scroll" tabIndex={0} aria-label={r.title}>
      <table class="plain-table pass-table">
        <caption class="sr-only">{r.title}</caption>
        <thead>
          <tr>
            <th scope="col">{r.pass}</th>
            {columns.map(([name]) => (
              <th key={name} scope="col">
                {name}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {review.passes.map(pass => {
            const { passId, rig } = pass.message;
            return (
              <tr key={passId} data-verdict={worstState(pass)}>
                <th scope="row">
                  <a
                    href={reviewUrl({ ...route, pass: passId, fromMm: null, toMm: null, cursorMm: null })}
                    onClick={toInspector}
                    {...(passId === picked ? { 'aria-current': 'true' as const } : {})}
                  >
                    {t.review.pass.nameOf(pass.work.side, pass.work.pass, rig)}
                    {pass.repairOf !== null && `, ${t.review.pass.repair}`}
                  </a>
                </th>
                {columns.map(([name, of]) => (
                  <td key={name} data-label={name}>
                    {of(pass)}
                  </td>
                ))}
              </tr>
            );
          })}
        </tbody>
      </table>
    </section>
  );
}

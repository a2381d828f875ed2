import type { JointReview, ReviewPass } from '#core/messages/api-review';
import { QUANTITY_DISPLAY } from '../../text/format.ts';
import { format, text } from '../../text/text.ts';
import { worstState } from './pass-verdict.ts';
import { type ReviewRoute, reviewUrl } from './review-route.ts';

interface PassTableProps {
  readonly review: JointReview;
  readonly route: ReviewRoute;
  readonly picked: string | null;
}

const shownAs = (quantity: string, fixed: (value: number | null, decimals: number) => string) => {
  const display = QUANTITY_DISPLAY[quantity]!;
  return (value: number | null): string =>
    value === null ? fixed(null, 0) : fixed(display.shown(value), display.decimals);
};

/** Every recorded pass in the order welded: what it took and how it stands against its limits. */
export function PassTable({ review, route, picked }: PassTableProps) {
  const t = text.value;
  const r = t.review.passes;
  const { fixed } = format();
  const columns: readonly (readonly [string, (pass: ReviewPass) => string])[] = [
    [r.arcTime, ({ message }) => fixed(message.pass.arcTimeS, 0)],
    [r.runOut, ({ message }) => fixed(message.pass.runOutLengthMm, 0)],
    [r.current, ({ message }) => shownAs('weldingCurrent', fixed)(message.pass.meanCurrentA)],
    [r.voltage, ({ message }) => shownAs('arcVoltage', fixed)(message.pass.meanVoltageV)],
    [r.feed, ({ message }) => shownAs('wireFeedSpeed', fixed)(message.pass.meanWireFeedMmS)],
    [r.travel, ({ message }) => shownAs('travelSpeed', fixed)(message.pass.meanTravelMmS)],
    [r.energy, ({ message }) => fixed(message.pass.arcEnergyKjMm, 3)],
    [r.heat, ({ message }) => fixed(message.pass.heatInputKjMm, 3)],
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
    <div class="table-scroll">
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
    </div>
  );
}

import type { JointReview, ReviewIndication, ReviewPass } from '#core/messages/api-review';
import { More } from '../../parts/more.tsx';
import { oClockText } from '../../text/format.ts';
import { said } from '../../text/said.ts';
import { displays, format, text } from '../../text/text.ts';
import { type ReviewRoute, reviewUrl } from './review-route.ts';
import { toInspector } from './to-inspector.ts';
import { WINDOW_NAMES, type WindowName } from './window-names.ts';

type Covered = ReviewIndication['covered'][number];

interface CoveredPassProps {
  readonly review: JointReview;
  readonly covered: Covered;
  readonly label: string;
  readonly route: ReviewRoute;
}

/** One pass that lies at an indication: what of it lies there, held against that pass's own limits. */
export function CoveredPass({ review, covered, label, route }: CoveredPassProps) {
  const t = text.value;
  const r = t.review.calls;
  const { measure, value } = format();
  const pass = review.passes.find(({ message }) => message.passId === covered.passId);
  if (!pass) return null;
  const { side, pass: name } = pass.work;
  const windows = covered.windows.flatMap(index => pass.windows[index] ?? []);
  const out = [...new Set(windows.flatMap(window => window.out))];
  const ends = windows.flatMap(({ fromMm, toMm }) => [fromMm ?? [], toMm ?? []].flat());
  const depth = pass.depth && r.liesAt(value('size', pass.depth.topMm), measure('size', pass.depth.bottomMm));
  const facts = [
    ...(covered.atDepth ? [] : [r.notAtDepth]),
    r.coveredLine(windows.length),
    ...(covered.startsHere ? [r.startsHere] : []),
    ...(covered.endsHere ? [r.endsHere] : []),
    ...(covered.stops.length > 0 ? [r.stops(covered.stops.length)] : []),
    ...(covered.events.length > 0 ? [r.events(covered.events.length)] : []),
    out.length > 0 ? r.outHere(out.map(one => t.changes.quantity[one] ?? one).join(', ')) : r.noneOut,
  ];
  const title = t.review.pass.nameOf(side, name, pass.message.rig);
  return (
    <li class="covered-pass" data-depth={covered.atDepth ? 'at' : 'off'}>
      <p>
        <strong>{title}</strong>
        {depth !== null && <span class="hint"> {depth}</span>}
        <br />
        {facts.join('; ')}
      </p>
      <div class="form-actions no-gap">
        {ends.length > 0 && (
          <a
            class="button"
            href={reviewUrl({
              ...route,
              pass: covered.passId,
              fromMm: Math.min(...ends),
              toMm: Math.max(...ends),
              cursorMm: null,
            })}
            onClick={toInspector}
          >
            {r.show}
            <span class="sr-only">
              {' '}
              {title}, {label}
            </span>
          </a>
        )}
      </div>
      <More label={r.detail(name ?? '')} open={false} class="covered-detail">
        <CoveredDetail pass={pass} covered={covered} />
      </More>
    </li>
  );
}

interface CoveredDetailProps {
  readonly pass: ReviewPass;
  readonly covered: Covered;
}

function CoveredDetail({ pass, covered }: CoveredDetailProps) {
  const t = text.value;
  const r = t.review.calls;
  const { fixed, measure, units, value: shownLength } = format();
  const windows = covered.windows.flatMap(index => pass.windows[index] ?? []);
  const known = WINDOW_NAMES.filter(name => windows.some(({ values }) => values[name] !== null));
  const shown = (name: string, value: number | null): string => {
    const display = displays()[name];
    return value === null || !display ? fixed(value, 2) : fixed(display.shown(value), display.decimals);
  };
  const limitOf = (name: WindowName): string => {
    const limit = (pass.judgements.at(-1)?.verdicts ?? [])
      .filter(({ quantity }) => quantity === name)
      .toSorted((a, b) => Number(b.basis === 'window') - Number(a.basis === 'window'))[0];
    return limit === undefined ? r.noLimit : r.limit(shown(name, limit.min), shown(name, limit.max));
  };
  const stops = covered.stops.flatMap(index => pass.message.pass.stops[index] ?? []);
  const events = pass.events.filter(({ id }) => covered.events.includes(id));
  const { startS, startPositionMm, endPositionMm } = pass.message.pass;
  const lines = [
    ...(covered.startsHere ? [r.startAt(measure('length', startPositionMm))] : []),
    ...(covered.endsHere ? [r.endAt(measure('length', endPositionMm))] : []),
    ...stops.map(stop =>
      r.stopAt(
        measure('length', stop.positionMm),
        fixed(stop.startS - startS, 1),
        fixed(stop.endS - stop.startS, 1),
      ),
    ),
    ...events.map(event => r.eventAt(measure('length', event.alongMm), fixed(event.tS, 1), said(event.text))),
  ];
  return (
    <>
      {lines.length > 0 && (
        <ul>
          {lines.map(line => (
            <li key={line}>
              <bdi>{line}</bdi>
            </li>
          ))}
        </ul>
      )}
      {windows.length > 0 && (
        <table class="plain-table">
          <thead>
            <tr>
              <th scope="col">{units.length.unit}</th>
              <th scope="col">{t.review.rows.clock}</th>
              {known.map(name => (
                <th key={name} scope="col">
                  {t.changes.quantity[name]}, {displays()[name]?.unit}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            <tr>
              <th scope="row">{r.limits}</th>
              <td />
              {known.map(name => (
                <td key={name} data-label={t.changes.quantity[name]}>
                  {limitOf(name)}
                </td>
              ))}
            </tr>
            {windows.map(window => (
              <tr key={window.fromS} data-verdict={window.out.length > 0 ? 'out' : 'in'}>
                <th scope="row">
                  {window.fromMm === null || window.toMm === null
                    ? fixed(null, 0)
                    : t.review.rows.span(
                        shownLength('length', window.fromMm),
                        shownLength('length', window.toMm),
                      )}
                </th>
                <td data-label={t.review.rows.clock}>{oClockText(window.fromClock)}</td>
                {known.map(name => (
                  <td key={name} data-label={t.changes.quantity[name]}>
                    {shown(name, window.values[name])}
                    {window.out.includes(name) && <strong> {t.review.rows.outMark}</strong>}
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </>
  );
}

import type { JointReview, ReviewPass } from '#core/messages/api-review';
import { text } from '../text/text.ts';
import { type Piece, unroll } from './unrolled-geometry.ts';

interface UnrolledStripProps {
  readonly review: JointReview;
  readonly picked: string | null;
  readonly urlOf: (pass: ReviewPass) => string;
  /** Share of the circumference where the cursor stands; null: nowhere. */
  readonly cursor: number | null;
}

const WIDTH = 1200;
const LEFT = 96;
const ROW = 56;
const TOP = 30;
const BAR = 34;
const HOURS = [12, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12];

const x = (share: number): number => LEFT + share * (WIDTH - LEFT - 12);

/** Every pass where it lies on the pipe, to be picked; deviations numbered, changes hatched, indications at their depth. */
export function UnrolledStrip({ review, picked, urlOf, cursor }: UnrolledStripProps) {
  const t = text.value.review;
  const drawn = unroll(review);
  const height = TOP + drawn.layers.length * ROW + 8;
  const y = (row: number): number => TOP + row * ROW + (ROW - BAR) / 2;
  const rects = (pieces: readonly Piece[], row: number, name: string, inset = 0) =>
    pieces.map(({ from, to }) => (
      <rect
        key={`${name} ${from}`}
        class={name}
        x={x(from)}
        y={y(row) + inset}
        width={Math.max(3, x(to) - x(from))}
        height={BAR - 2 * inset}
      />
    ));
  return (
    <section class="unrolled" aria-label={t.stripLabel}>
      <svg viewBox={`0 0 ${WIDTH} ${height}`}>
        <title>{t.stripLabel}</title>
        {HOURS.map((hour, i) => (
          <g key={i === 0 ? 'first' : hour} class="unrolled-hour">
            <line x1={x(i / 12)} x2={x(i / 12)} y1={TOP - 6} y2={height - 8} />
            <text x={x(i / 12)} y={TOP - 10}>
              {hour}
            </text>
          </g>
        ))}
        {drawn.layers.map((layer, row) => (
          <text key={layer} class="unrolled-layer" x={LEFT - 10} y={y(row) + BAR / 2 + 5}>
            {layer}
          </text>
        ))}
        {drawn.passes.map(one => {
          const { passId, deviations } = one.pass.message;
          const isPicked = passId === picked;
          return (
            <a
              key={passId}
              href={urlOf(one.pass)}
              aria-label={t.passLabel(one.pass.work.side ?? '', one.pass.work.pass ?? '', deviations.length)}
              {...(isPicked ? { 'aria-current': 'true' as const } : {})}
            >
              {rects(one.pieces, one.row, 'unrolled-touch', -10)}
              {rects(one.pieces, one.row, isPicked ? 'unrolled-pass picked' : 'unrolled-pass')}
              {one.changes.flatMap(change => rects(change.pieces, one.row, 'unrolled-change', 6))}
              {one.deviations.flatMap(deviation => rects(deviation.pieces, one.row, 'unrolled-out'))}
              {one.starts.map(share => (
                <line
                  key={share}
                  class="unrolled-start"
                  x1={x(share)}
                  x2={x(share)}
                  y1={y(one.row) - 5}
                  y2={y(one.row) + BAR + 5}
                />
              ))}
              {one.deviations.map(({ number, pieces }) => (
                <text
                  key={number}
                  class="unrolled-number"
                  x={(x(pieces[0]!.from) + x(pieces[0]!.to)) / 2}
                  y={y(one.row) - 2}
                >
                  {number}
                </text>
              ))}
            </a>
          );
        })}
        {drawn.indications.map(({ label, pieces, around, rows }) => (
          <g key={label} class="unrolled-call">
            {rows.flatMap(row => rects(around, row, 'unrolled-around', 2))}
            {rows.flatMap(row => rects(pieces, row, 'unrolled-indication', 2))}
            <text class="unrolled-number" x={x(pieces[0]!.from)} y={height - 2}>
              {label}
            </text>
          </g>
        ))}
        {cursor !== null && (
          <line class="unrolled-cursor" x1={x(cursor)} x2={x(cursor)} y1={TOP - 4} y2={height - 8} />
        )}
      </svg>
      <p class="hint">{t.stripNote}</p>
      {drawn.unplaced.length > 0 && <p class="hint">{t.unplaced(drawn.unplaced.length)}</p>}
    </section>
  );
}

import type { JointReview, ReviewPass } from '#core/messages/api-review';
import { text } from '../text/text.ts';
import { labelLines } from './label-lines.ts';
import { type Piece, type UnrolledPass, unroll } from './unrolled-geometry.ts';

interface UnrolledStripProps {
  readonly review: JointReview;
  readonly picked: string | null;
  readonly urlOf: (pass: ReviewPass) => string;
  /** Called when a pass is picked. */
  readonly onPick: () => void;
  /** Share of the circumference where the cursor stands; null: nowhere. */
  readonly cursor: number | null;
}

const WIDTH = 1200;
const LEFT = 130;
/** A row is as high as a target: 1200 units are drawn 25 targets wide at the least. */
const ROW = 64;
const TOP = 56;
const BAR = 34;
const FOOT = 12;
const LABEL_LINE = 20;
/** Of a bold digit or capital at the label's size; a little more, so that neighbours do not touch. */
const LETTER = 11.5;
/** Between the line that leads to a label and its words. */
const LEAD_GAP = 5;
const HOURS = [12, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12];

const x = (share: number): number => LEFT + share * (WIDTH - LEFT - 14);
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

/** Every pass where it lies on the pipe, to be picked; deviations numbered, changes striped, indications at their depth. */
export function UnrolledStrip({ review, picked, urlOf, onPick, cursor }: UnrolledStripProps) {
  const t = text.value.review;
  const drawn = unroll(review);
  const bottom = TOP + drawn.layers.length * ROW;
  const labels = drawn.indications.map(({ label, pieces: [first] }) => {
    const width = (t.callMark(label).length + 1) * LETTER;
    const at = (x(first!.from) + x(first!.to)) / 2;
    return { at, from: Math.min(WIDTH - width, at + LEAD_GAP), width };
  });
  const lines = labelLines(labels);
  const height = bottom + FOOT + LABEL_LINE * Math.max(1, ...lines.map(line => line + 1));
  return (
    <section class="unrolled" aria-label={t.stripLabel}>
      <div class="unrolled-scroll">
        <svg viewBox={`0 0 ${WIDTH} ${height}`}>
          <title>{t.stripLabel}</title>
          <text x={x(0.02)} y="18" class="unrolled-side from-left">
            {t.sideRuns.B}
          </text>
          <text x={x(0.98)} y="18" class="unrolled-side from-right">
            {t.sideRuns.A}
          </text>
          <line class="unrolled-middle" x1={x(0.5)} x2={x(0.5)} y1={TOP - 8} y2={bottom} />
          {HOURS.map((hour, i) => (
            <g key={i === 0 ? 'first' : hour} class="unrolled-hour">
              <line x1={x(i / 12)} x2={x(i / 12)} y1={TOP - 8} y2={bottom} />
              <text x={x(i / 12)} y={TOP - 14}>
                {hour}
              </text>
            </g>
          ))}
          {drawn.layers.map(({ pass, isRepair }, row) => (
            <text key={`${pass} ${isRepair}`} class="unrolled-layer" x={LEFT - 12} y={y(row) + BAR / 2 + 6}>
              {isRepair ? t.repairRow(pass) : pass}
            </text>
          ))}
          {drawn.passes.map(one => (
            <PassBar
              key={one.pass.message.passId}
              one={one}
              isPicked={one.pass.message.passId === picked}
              url={urlOf(one.pass)}
              onPick={onPick}
            />
          ))}
          {drawn.indications.map(({ label, pieces, around, rows }, i) => (
            <g key={label} class="unrolled-call">
              {rows.flatMap(row => rects(around, row, 'unrolled-around', -6))}
              {rows.flatMap(row => rects(pieces, row, 'unrolled-indication', -3))}
              <line
                class="unrolled-lead"
                x1={labels[i]!.at}
                x2={labels[i]!.at}
                y1={y(Math.max(...rows)) + BAR}
                y2={bottom + LABEL_LINE * (lines[i]! + 1)}
              />
            </g>
          ))}
          {drawn.indications.map(({ label }, i) => (
            <text
              key={label}
              class="unrolled-number unrolled-label"
              x={labels[i]!.from}
              y={bottom + LABEL_LINE * (lines[i]! + 1)}
            >
              {t.callMark(label)}
            </text>
          ))}
          {drawn.passes.flatMap(({ row, pass, deviations }) =>
            deviations.map(({ number, pieces }) => (
              <text
                key={`${pass.message.passId} ${number}`}
                class="unrolled-number on-fill"
                x={(x(pieces[0]!.from) + x(pieces[0]!.to)) / 2}
                y={y(row) + BAR / 2 + 6}
              >
                {number}
              </text>
            )),
          )}
          {cursor !== null && (
            <line class="unrolled-cursor" x1={x(cursor)} x2={x(cursor)} y1={TOP - 6} y2={bottom} />
          )}
        </svg>
      </div>
      <p class="unrolled-more">{t.stripScroll}</p>
      <p class="hint">{t.stripNote}</p>
      {drawn.unplaced.length > 0 && <p class="hint">{t.unplaced(drawn.unplaced.length)}</p>}
    </section>
  );
}

interface PassBarProps {
  readonly one: UnrolledPass;
  readonly isPicked: boolean;
  readonly url: string;
  readonly onPick: () => void;
}

function PassBar({ one, isPicked, url, onPick }: PassBarProps) {
  const t = text.value.review;
  const { row, pass } = one;
  const label = t.passLabel(pass.work.side ?? '', pass.work.pass ?? '', pass.message.deviations.length);
  return (
    <a
      href={url}
      aria-label={label}
      onClick={onPick}
      {...(isPicked ? { 'aria-current': 'true' as const } : {})}
    >
      {rects(one.pieces, row, 'unrolled-touch', -(ROW - BAR) / 2)}
      {rects(one.pieces, row, isPicked ? 'unrolled-pass picked' : 'unrolled-pass')}
      {one.changes.flatMap(change => rects(change.pieces, row, 'unrolled-change', 11))}
      {one.gaps.length > 0 && rects(one.gaps, row, 'unrolled-gap', 3)}
      {one.deviations.flatMap(deviation => rects(deviation.pieces, row, 'unrolled-out', 2))}
      {one.starts.map(share => (
        <line
          key={share}
          class="unrolled-start"
          x1={x(share)}
          x2={x(share)}
          y1={y(row) - 6}
          y2={y(row) + BAR + 6}
        />
      ))}
    </a>
  );
}

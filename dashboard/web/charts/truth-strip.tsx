import { text } from '../text/text.ts';
import type { TruthStripModel } from './truth-geometry.ts';

interface TruthStripProps {
  readonly model: TruthStripModel;
  /** Said instead of the picture; the list or table beside it holds every number. */
  readonly label: string;
}

const WIDTH = 720;
const LEFT = 96;
const ROW = 40;
const TOP = 60;
const BAR = 22;
/** What has not begun lies thin at the foot of its row. */
const THIN = 7;
const HOURS = [12, 3, 6, 9, 12];

const x = (share: number): number => LEFT + share * (WIDTH - LEFT - 14);
const y = (row: number): number => TOP + row * ROW + (ROW - BAR) / 2;

/** The pipe unrolled, small: what is true, what was marked, where each rig is. */
export function TruthStrip({ model, label }: TruthStripProps) {
  const t = text.value.review;
  const bottom = TOP + Math.max(1, model.passes.length) * ROW;
  return (
    <div class="truth-strip">
      <svg viewBox={`0 0 ${WIDTH} ${bottom + 10}`} role="img" aria-label={label}>
        <text x={x(0.01)} y="20" class="from-left">
          {t.sideRuns.B}
        </text>
        <text x={x(0.99)} y="20" class="from-right">
          {t.sideRuns.A}
        </text>
        {HOURS.map((hour, i) => (
          <g key={i === 0 ? 'first' : hour} class="truth-hour">
            <line x1={x(i / 4)} x2={x(i / 4)} y1={TOP - 6} y2={bottom} />
            <text x={x(i / 4)} y={TOP - 10}>
              {hour}
            </text>
          </g>
        ))}
        {model.passes.map((pass, row) => (
          <text key={pass} class="truth-pass" x={LEFT - 8} y={y(row) + BAR / 2 + 5}>
            {pass}
          </text>
        ))}
        {model.windows.flatMap(({ window, row, pieces }) => {
          const height = window.beganUtc === null ? THIN : BAR;
          return pieces.map(({ from, to }) => (
            <rect
              key={`${window.id} ${from}`}
              class={`truth-${window.kind}`}
              x={x(from)}
              y={y(row) + BAR - height}
              width={Math.max(4, x(to) - x(from))}
              height={height}
            />
          ));
        })}
        {model.marks.map(({ mark, row, share }) => (
          <Flag key={mark.id} at={x(share)} foot={y(row) + BAR} />
        ))}
        {model.rigs.map(({ rig, row, share }) => (
          <g key={rig} class="truth-rig">
            <circle cx={x(share)} cy={y(row) + BAR / 2} r="9" />
            <circle class="truth-rig-dot" cx={x(share)} cy={y(row) + BAR / 2} r="3" />
          </g>
        ))}
      </svg>
    </div>
  );
}

/** A mark of the trainee, wherever one is drawn: a flag on its pole. */
export function Flag({ at, foot }: { readonly at: number; readonly foot: number }) {
  return (
    <g class="truth-mark">
      <line x1={at} x2={at} y1={foot} y2={foot - 30} />
      <path d={`M ${at} ${foot - 30} l 13 5 l -13 5 z`} />
    </g>
  );
}

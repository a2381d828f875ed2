import { type LevelLines, type LevelPoint, levelGeometry } from './level-geometry.ts';

interface LevelChartProps {
  readonly points: readonly LevelPoint[];
  readonly lines: LevelLines | null;
  readonly range: { readonly low: number; readonly high: number };
  /** What is to be seen, in one sentence. */
  readonly label: string;
  /** Text at the upper and the lower edge of the scale. */
  readonly top: string;
  readonly bottom: string;
}

const WIDTH = 600;
const HEIGHT = 150;

/** Values in the order they came; outside what is usual is a square, the rest dots. */
export function LevelChart({ points, lines, range, label, top, bottom }: LevelChartProps) {
  const drawn = levelGeometry(points, lines, range, { width: WIDTH, height: HEIGHT });
  return (
    <div class="level-chart">
      <span class="level-scale" aria-hidden="true">
        <span>{top}</span>
        <span>{bottom}</span>
      </span>
      <svg viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="img" aria-label={label} preserveAspectRatio="none">
        {drawn.lines !== null && (
          <>
            <rect
              class="level-band"
              x="0"
              y={drawn.lines.upper}
              width={WIDTH}
              height={drawn.lines.lower - drawn.lines.upper}
            />
            <line class="level-centre" x1="0" x2={WIDTH} y1={drawn.lines.centre} y2={drawn.lines.centre} />
          </>
        )}
        <polyline class="level-line" points={drawn.points.map(({ x, y }) => `${x},${y}`).join(' ')} />
        {/* Round and square ends of strokes without length: they keep their shape however wide the chart is. */}
        {drawn.points.map(({ x, y, outside }, i) => (
          <path key={points[i]?.key} class={outside ? 'level-out' : 'level-dot'} d={`M${x} ${y}h0`} />
        ))}
      </svg>
    </div>
  );
}

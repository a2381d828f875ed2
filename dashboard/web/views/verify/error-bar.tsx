import { format } from '../../text/text.ts';

interface ErrorBarProps {
  readonly error: number;
  readonly uncertainty: number;
  readonly limit: number;
  /** As read aloud, units included. */
  readonly label: string;
  readonly unit: string;
}

const WIDTH = 320;
const HEIGHT = 74;
const LINE_Y = 34;

/** The error with its uncertainty, drawn against the limit: what lies across a limit line is not decided. */
export function ErrorBar({ error, uncertainty, limit, label, unit }: ErrorBarProps) {
  const reach = limit * Math.min(4, Math.max(1.6, (Math.abs(error) + uncertainty * 1.1) / limit));
  const x = (at: number): number =>
    Math.min(WIDTH - 12, Math.max(12, WIDTH / 2 + (at / reach) * (WIDTH / 2 - 12)));
  // Far outside: an arrow at the end of the axis, since its place would be off the paper.
  const beyond = Math.abs(error) > reach;
  const end = x(error);
  const out = error < 0 ? -10 : 10;
  const [from, to] = [x(error - uncertainty), x(error + uncertainty)];
  const decimals = unit === 'ms' ? 0 : 1;
  const limitText = format().fixed(limit, decimals);
  return (
    <svg class="error-bar" viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="img" aria-label={label}>
      <rect class="error-band" x={x(-limit)} y={LINE_Y - 16} width={x(limit) - x(-limit)} height={32} />
      <line class="error-axis" x1={4} x2={WIDTH - 4} y1={LINE_Y} y2={LINE_Y} />
      <line class="error-zero" x1={x(0)} x2={x(0)} y1={LINE_Y - 16} y2={LINE_Y + 16} />
      {[-limit, limit].map(side => (
        <g key={side}>
          <line class="error-limit" x1={x(side)} x2={x(side)} y1={LINE_Y - 22} y2={LINE_Y + 22} />
          <text class="error-text" x={x(side)} y={HEIGHT - 2} text-anchor="middle">
            {`${side < 0 ? '−' : '+'}${limitText} ${unit}`}
          </text>
        </g>
      ))}
      <line class="error-reach" x1={from} x2={to} y1={LINE_Y} y2={LINE_Y} />
      <line class="error-reach" x1={from} x2={from} y1={LINE_Y - 8} y2={LINE_Y + 8} />
      <line class="error-reach" x1={to} x2={to} y1={LINE_Y - 8} y2={LINE_Y + 8} />
      {beyond ? (
        <path
          class="error-mark"
          d={`M ${end - out} ${LINE_Y - 10} L ${end + out} ${LINE_Y} L ${end - out} ${LINE_Y + 10} Z`}
        />
      ) : (
        <circle class="error-mark" cx={end} cy={LINE_Y} r={7} />
      )}
    </svg>
  );
}

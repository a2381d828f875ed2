import { format, text } from '../text/text.ts';
import {
  LANES,
  type Lane,
  type LaneItem,
  type SideTimeline,
  type TimelineModel,
} from './timeline-geometry.ts';
import { Flag } from './truth-strip.tsx';

interface TimelineChartProps {
  readonly model: TimelineModel;
  readonly side: SideTimeline;
  readonly label: string;
}

const WIDTH = 720;
const LEFT = 96;
const LANE = 34;
const BAR = 18;
const TOP = 8;

const x = (share: number): number => LEFT + share * (WIDTH - LEFT - 16);
const top = (lane: Lane): number => TOP + LANES.indexOf(lane) * LANE + (LANE - BAR) / 2;
const BOTTOM = TOP + LANES.length * LANE;

/** Minutes between the lines, so that there are at most about eight. */
const stepOf = (minutes: number): number =>
  [1, 2, 5, 10, 20, 30, 60].find(step => minutes / step <= 8) ?? 120;

/** One side over the time of a session, a lane for each who had something to say. */
export function TimelineChart({ model, side, label }: TimelineChartProps) {
  const t = text.value.training.debrief;
  const minutes = model.lengthS / 60;
  const step = stepOf(minutes);
  const ticks = Array.from({ length: Math.floor(minutes / step) + 1 }, (_, i) => i * step);
  return (
    <div class="truth-strip">
      <svg viewBox={`0 0 ${WIDTH} ${BOTTOM + 26}`} role="img" aria-label={label}>
        {model.pauses.map(({ from, to }) => (
          <rect
            key={from}
            class="timeline-pause"
            x={x(from)}
            y={TOP}
            width={Math.max(2, x(to) - x(from))}
            height={BOTTOM - TOP}
          />
        ))}
        {ticks.map(minute => (
          <g key={minute} class="truth-hour">
            <line x1={x(minute / minutes)} x2={x(minute / minutes)} y1={TOP} y2={BOTTOM} />
            <text x={x(minute / minutes)} y={BOTTOM + 18}>
              {t.minutes(format().fixed(minute, 0))}
            </text>
          </g>
        ))}
        {LANES.map(lane => (
          <text key={lane} class="truth-pass" x={LEFT - 8} y={top(lane) + BAR / 2 + 5}>
            {t.lanes[lane]}
          </text>
        ))}
        {side.items.map((item, i) => (
          <Mark key={i} item={item} />
        ))}
      </svg>
    </div>
  );
}

function Mark({ item: { lane, from, to, kind } }: { readonly item: LaneItem }) {
  if (lane === 'marks') return <Flag at={x(from)} foot={top(lane) + BAR + 4} />;
  const name =
    lane === 'truth' ? `truth-${kind ?? 'signal'}` : lane === 'alarms' ? 'timeline-alarm' : 'timeline-call';
  return <rect class={name} x={x(from)} y={top(lane)} width={Math.max(6, x(to) - x(from))} height={BAR} />;
}

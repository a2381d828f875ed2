import type { JointReview, ReviewPass } from '#core/messages/api-review';
import { text } from '../../text/text.ts';
import { arcMarks } from './arc-marks.ts';
import type { StretchAxis } from './channel-frame.ts';

interface ArcBarProps {
  readonly review: JointReview;
  readonly pass: ReviewPass;
  readonly axis: StretchAxis;
}

const WIDTH = 1000;
const HEIGHT = 26;

/** Where the arc burned, on the axis of the charts below it: stops, gaps, events; in words for who cannot see it. */
export function ArcBar({ pass, axis }: ArcBarProps) {
  const t = text.value.review.pass;
  const { arcs, stops, events } = arcMarks(pass, axis);
  const x = (at: number): number => ((at - axis.from) / (axis.to - axis.from || 1)) * WIDTH;
  return (
    <div class="arc-bar">
      <svg
        viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
        preserveAspectRatio="none"
        role="img"
        aria-label={t.arcBar(stops.length, events.length)}
      >
        {arcs.map(({ from, to }) => (
          <rect
            key={from}
            class="arc-on"
            x={x(from)}
            y="6"
            width={Math.max(1, x(to) - x(from))}
            height={HEIGHT - 12}
          />
        ))}
        {events.map(({ id, at }) => (
          <line key={id} class="arc-event" x1={x(at)} x2={x(at)} y1="0" y2="6" />
        ))}
        {stops.map(at => (
          <line key={at} class="arc-stop" x1={x(at)} x2={x(at)} y1="0" y2={HEIGHT} />
        ))}
      </svg>
    </div>
  );
}

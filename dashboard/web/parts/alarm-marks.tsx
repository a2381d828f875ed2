import { PULSES } from '#core/alarm/alarm-sound';
import type { Priority } from '#core/alarm/alarm-state';
import type { Alarm } from '#core/messages/api-alarm';
import type { Side } from '#core/messages/common';
import { degreesOfClock } from '#core/position/clock-position';
import { oClockText } from '../text/format.ts';
import { text } from '../text/text.ts';

/** As many bars as pulses are heard: five, three, and one low bar for what makes no sound. */
export function PulseMark({ priority }: { readonly priority: Priority }) {
  const n = Math.max(1, PULSES[priority]);
  const high = priority !== 'low';
  return (
    <svg class="pulse-mark" data-priority={priority} viewBox={`0 0 ${n * 7.6} 20`} aria-hidden="true">
      {Array.from({ length: n }, (_, i) => (
        <rect key={i} x={1 + i * 7.6} y={high ? 1 : 12} width="5" height={high ? 18 : 7} />
      ))}
    </svg>
  );
}

/** What it is about, by shape; the word stands beside it. */
export function CauseMark({ cause }: Pick<Alarm, 'cause'>) {
  return (
    <svg class="cause-mark" data-cause={cause} viewBox="0 0 24 24" aria-hidden="true">
      <CauseShape cause={cause} />
    </svg>
  );
}

function CauseShape({ cause }: Pick<Alarm, 'cause'>) {
  switch (cause) {
    case 'outOfRange':
      return <path class="fill-orange" d="M12 1L23 12L12 23L1 12Z" />;
    case 'passMismatch':
      return (
        <>
          <path class="fill-orange" d="M12 1L23 12L12 23L1 12Z" />
          <path class="line" d="M7 10H17M7 14H17M15 6L9 18" />
        </>
      );
    case 'drifting':
      return <path class="fill-sky" d="M1 22L23 5V22Z" />;
    case 'noDataWithArc':
    case 'edgeLost':
    case 'brokerLost':
      return <path class="line" d="M2 2H22V22H2ZM2 22L22 2M2 12L12 2M12 22L22 12" />;
    case 'recordingFailed':
    case 'storeBlocked':
    case 'storeFull':
      return <path class="line heavy" d="M3 3L21 21M21 3L3 21" />;
    default:
      return <path class="line" d="M12 3L22 21H2Z" />;
  }
}

const CENTRE = 24;
const RADIUS = 17;

/** Where on the ring, looking downstream, 12 on top: its side dark, the place a round mark with a hand. */
export function PlaceRing({ side, clock }: { readonly side: Side | null; readonly clock: number | null }) {
  const t = text.value.alarms;
  if (side === null) return <span class="place-ring none" />;
  const angle = clock === null ? null : ((degreesOfClock(clock) - 90) * Math.PI) / 180;
  const x = angle === null ? 0 : CENTRE + RADIUS * Math.cos(angle);
  const y = angle === null ? 0 : CENTRE + RADIUS * Math.sin(angle);
  const sweep = side === 'B' ? 1 : 0;
  const label = clock === null ? t.ringSide(side) : t.onRing(oClockText(clock));
  return (
    <svg class="place-ring" viewBox="0 0 48 48" role="img" aria-label={label}>
      <circle class="place-ring-all" cx={CENTRE} cy={CENTRE} r={RADIUS} />
      <path
        class="place-ring-side"
        d={`M${CENTRE} ${CENTRE - RADIUS}A${RADIUS} ${RADIUS} 0 0 ${sweep} ${CENTRE} ${CENTRE + RADIUS}`}
      />
      <text x={CENTRE} y={CENTRE + 5}>
        {side}
      </text>
      {angle !== null && <circle class="place-ring-mark" cx={x} cy={y} r="5.5" />}
    </svg>
  );
}

import type { Shift, ShiftEvent } from '#core/messages/api-shift';
import { format, text } from '../../text/text.ts';
import { AndMore, beyond } from './and-more.tsx';
import { shiftMoment } from './shift-time.ts';

/** Stops with their reason, spools and gas, in the order they happened. */
export function EventList({
  lines,
  printed,
}: {
  readonly lines: readonly string[];
  readonly printed: number;
}) {
  if (lines.length === 0) return <p>{text.value.shift.noEvents}</p>;
  return (
    <ul class="shift-words">
      {lines.map((line, i) => (
        <li key={i} class={beyond(i, printed)}>
          <bdi>{line}</bdi>
        </li>
      ))}
      <AndMore all={lines.length} printed={printed} as="li" />
    </ul>
  );
}

/** "08:20 rig-1: stop, rain, by A. Example", one an event. */
export const eventLines = ({ events, zone, date }: Shift): string[] =>
  events.map(event => lineOf(event, shiftMoment(event.at, zone, date)));

function lineOf({ rig, event, words, lot, wireKg, by }: ShiftEvent, when: string): string {
  const t = text.value.shift;
  const what = [
    t.event[event],
    ...(words === null ? [] : [words]),
    ...(lot === null ? [] : [t.lot(lot)]),
    ...(wireKg === null ? [] : [format().measure('spoolMass', wireKg)]),
  ].join(', ');
  return `${when} ${rig}: ${what}, ${t.by(by)}`;
}

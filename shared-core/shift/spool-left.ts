import type { EntryOf } from '../journal/entry.ts';
import type { ShiftRig } from '../messages/api-shift.ts';
import type { PassMessage } from '../messages/pass.ts';
import { figureOf } from './figure.ts';
import { addend } from './shift-work.ts';

type SpoolLeft = ShiftRig['spool'];

/**
 * Wire left on a spool, kg = mass put on − mass fed since. A pass that it was changed in counts for its arc time after
 * the change: an estimate, as if the wire had been fed evenly. Null with the reason where that cannot be said.
 */
export function spoolLeft(
  change: EntryOf<'rigEvent'> | null,
  passes: readonly PassMessage[],
  untilUtc: string,
): SpoolLeft {
  if (change === null) return unknown(null, 'no change of spool is entered');
  const { happenedAt, wireKg } = change.body;
  if (wireKg === undefined)
    return unknown(change, 'the change of spool does not say how much wire was on it');
  const since = passes.filter(({ startUtc, endUtc }) => endUtc > happenedAt && startUtc < untilUtc);
  const cut = since.filter(({ startUtc }) => startUtc < happenedAt);
  const used = figureOf(
    since.map(message => {
      const kg = addend(message.pass, 'wireUsedKg');
      return typeof kg === 'number' ? kg * shareAfter(message, happenedAt) : kg;
    }),
    'none',
  );
  const missing = used.of - used.known;
  if (missing > 0) {
    const which = missing === 1 ? 'one pass' : `${missing} passes`;
    return unknown(change, `the wire of ${which} since is not known: ${used.reason}`);
  }
  const leftKg = wireKg - (used.value ?? 0);
  if (leftKg < 0)
    return unknown(change, 'more wire was fed than was put on: a change of spool is not entered');
  return { ...unknown(change, null), leftKg, estimated: cut.length > 0 };
}

const unknown = (change: EntryOf<'rigEvent'> | null, reason: string | null): SpoolLeft => ({
  leftKg: null,
  putOnKg: change?.body.wireKg ?? null,
  changedAt: change?.body.happenedAt ?? null,
  lot: change?.body.lot ?? null,
  estimated: false,
  reason,
});

/** Of the arcs of a pass the share after a moment, by time; 1 where it began later. */
export function shareAfter({ pass, startUtc }: PassMessage, utc: string): number {
  const atS = pass.startS + (Date.parse(utc) - Date.parse(startUtc)) / 1000;
  if (atS <= pass.startS) return 1;
  const starts = [pass.startS, ...pass.stops.map(({ endS }) => endS)];
  const ends = [...pass.stops.map(({ startS }) => startS), pass.endS];
  let whole = 0;
  let after = 0;
  starts.forEach((startS, i) => {
    const endS = ends[i]!;
    whole += endS - startS;
    after += Math.max(0, endS - Math.max(startS, atS));
  });
  return whole > 0 ? after / whole : 0;
}

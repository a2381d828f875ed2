/** The one condition of a side and pass that changes along its weld. */
import type { CallQuantity, Drifting } from '#core/messages/drift';
import type { Condition } from './conditions.ts';

const TEXT_MAX = 300;

/** Null where nothing drifts. `place`: the key's first part; `where`: joint, side and pass in words. */
export function driftCondition(
  drifting: readonly Drifting[],
  about: Pick<Condition, 'work' | 'passIndex'> & {
    readonly key: string;
    readonly where: string;
    readonly placeAt: (alongMm: number | null) => Condition['place'];
  },
): Condition | null {
  // The worst leads: what is on its way to a limit, then what moved furthest.
  const [first] = [...drifting].sort(
    (a, b) =>
      Number(b.rule === 'projected') - Number(a.rule === 'projected') ||
      Math.abs(b.changeSigma ?? 0) - Math.abs(a.changeSigma ?? 0) ||
      a.number - b.number,
  );
  if (!first) return null;
  const { key, where, placeAt, ...work } = about;
  const told = drifting.find(({ rule }) => rule === 'projected') ?? drifting.find(one => one === first)!;
  const candidate = told.looksLike[0];
  const looks = candidate ? ` Looks like: ${candidate.cause}; not a verdict.` : '';
  const others = drifting.length > 1 ? ` ${drifting.length} changes hold.` : '';
  const quantities = [
    ...new Set(drifting.flatMap(({ quantity }): CallQuantity[] => (quantity ? [quantity] : []))),
  ];
  const tail = ` (${where}).${others}${looks}`;
  return {
    key: key.slice(0, 120),
    cause: 'drifting',
    quantity: told.quantity,
    quantities,
    ...work,
    place: placeAt(told.sincePositionMm),
    priority: drifting.some(({ rule }) => rule === 'projected') ? 'medium' : 'low',
    sinceUs: Math.min(...drifting.map(({ sinceUs }) => sinceUs)),
    text: `${told.text.replace(/\.$/, '').slice(0, TEXT_MAX - tail.length)}${tail}`.slice(0, TEXT_MAX),
    action:
      'Look at wire, tip, earth and stick-out of this side; tell the welding inspector before the limit is met.',
  };
}

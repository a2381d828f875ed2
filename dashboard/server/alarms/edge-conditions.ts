/** What an edge says is true → conditions of the desk: one for a side, a pass and a cause. */
import { isOfPass } from '#core/alarm/alarm-cause';
import type { Alarms } from '#core/messages/alarms';
import type { RigAddress } from '#core/topics/topics';
import type { RaisedCondition } from './alarm-desk.ts';

/** Identities of one edge's conditions begin so. */
export const edgePrefix = ({ site, rig }: RigAddress): string => `edge ${site}/${rig} `;

/** What an edge said, not what the dashboard saw itself: known only while that edge is heard. */
export const isOfEdge = (identity: string): boolean => identity.startsWith('edge ');

export function edgeConditions(address: RigAddress, { origin, at, conditions }: Alarms): RaisedCondition[] {
  return conditions.map(condition => {
    const { cause, priority, text, action, quantity, sinceUtc } = condition;
    const quantities = condition.quantities ?? (quantity === null ? [] : [quantity]);
    const { site, rig } = address;
    return {
      identity: edgePrefix(address) + identityOf(condition),
      about: {
        site,
        rig,
        cause,
        origin,
        priority,
        work: condition.work ?? null,
        quantities: [...quantities],
        place: condition.place ?? null,
        text,
        action,
      },
      sinceMs: Date.parse(sinceUtc ?? at),
    };
  });
}

function identityOf({ cause, key, work, passIndex }: Alarms['conditions'][number]): string {
  // Of an older edge that names no work, and of what belongs to no pass, its own key says enough.
  if (!isOfPass(cause) || work === undefined) return key;
  // Without a joint the edge's own number of the pass tells one from the next.
  return JSON.stringify(
    work === null ? [cause, passIndex ?? null] : [cause, work.joint, work.side, work.pass],
  );
}

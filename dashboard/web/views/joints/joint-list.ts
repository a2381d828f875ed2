import type { Entry } from '#core/journal/entry';
import type { Joint } from '#core/messages/api';

/** One joint of the list: recorded, opened by a person, or both. */
export interface ListedJoint {
  readonly joint: string;
  /** Null where nothing is recorded of it yet. */
  readonly recorded: Joint | null;
  readonly openedAt: string | null;
  /** Newest of both, for the order. */
  readonly lastUtc: string;
}

/** Recorded joints and those a person has opened, as one list, newest first. */
export function listJoints(recorded: readonly Joint[], opened: readonly Entry[]): ListedJoint[] {
  const found = new Map<string, ListedJoint>(
    recorded.map(one => [
      one.joint,
      { joint: one.joint, recorded: one, openedAt: null, lastUtc: one.lastUtc },
    ]),
  );
  const corrected = new Set(opened.map(({ corrects }) => corrects));
  for (const { id, at, body } of opened) {
    if (body.kind !== 'jointOpened' || corrected.has(id)) continue;
    const known = found.get(body.joint);
    const lastUtc = known === undefined || known.lastUtc < at ? at : known.lastUtc;
    found.set(body.joint, {
      joint: body.joint,
      recorded: known?.recorded ?? null,
      openedAt: at,
      lastUtc,
    });
  }
  return [...found.values()].sort((a, b) => b.lastUtc.localeCompare(a.lastUtc));
}

/** Joints with what is typed anywhere in their number; capitals and blanks do not matter. */
export function findJoints(joints: readonly ListedJoint[], typed: string): ListedJoint[] {
  const plain = (words: string): string => words.toLowerCase().replace(/\s+/g, '');
  return joints.filter(({ joint }) => plain(joint).includes(plain(typed)));
}

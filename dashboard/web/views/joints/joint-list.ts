import type { Joint } from '#core/messages/api';
import type { JointSummary } from '#core/messages/api-journal';

/** One joint of the list, with what its records add to it. */
export interface ListedJoint {
  readonly summary: JointSummary;
  /** Deviations on record; null where nothing is recorded under it. */
  readonly deviations: number | null;
}

/** The server's list in its order; deviations beside those that have records. */
export function listJoints(summaries: readonly JointSummary[], recorded: readonly Joint[]): ListedJoint[] {
  const deviations = new Map(recorded.map(one => [one.joint, one.deviations]));
  return summaries.map(summary => ({ summary, deviations: deviations.get(summary.joint) ?? null }));
}

/** Joints with what is typed anywhere in their number; capitals and blanks do not matter. */
export function findJoints(joints: readonly ListedJoint[], typed: string): ListedJoint[] {
  const plain = (words: string): string => words.toLowerCase().replace(/\s+/g, '');
  return joints.filter(({ summary }) => plain(summary.joint).includes(plain(typed)));
}

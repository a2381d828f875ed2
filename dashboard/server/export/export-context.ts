/** What exports are made from: the store and what is known of the rigs. The same beside a running dashboard and in it. */
import { localDate } from '#core/csv/local-time';
import type { JointFacts } from '#core/journal/joint-facts';
import type { JointReview } from '#core/messages/api-review';
import type { ReportManner } from '../report/report-manner.ts';
import { jointReview, type ReviewContext } from '../review/joint-review.ts';

export interface ExportContext extends ReviewContext {
  readonly software: string;
}

/** How an export is written. */
export interface ExportStyle {
  /** IANA zone of the local times. */
  readonly zone: string;
  readonly papers: readonly Paper[];
  readonly manner: PaperManner;
}

/** Language, units and decimal sign of what is printed; tables and data stay in SI units with points. */
export type PaperManner = Omit<ReportManner, 'zone'>;

export type Paper = 'a4' | 'letter';

/** Time of an export of which nothing is recorded or entered. */
const BEFORE_ALL = '1970-01-01T00:00:00.000Z';

/** A joint as it stood when the newest thing about it was recorded or entered: asked twice, the same. */
export interface SealedJoint {
  readonly facts: JointFacts;
  readonly review: JointReview;
  readonly at: string;
  readonly context: ExportContext;
}

export function sealedJoint(known: JointFacts, context: ExportContext): SealedJoint {
  const at = jointReview(known, context).sealedAt ?? BEFORE_ALL;
  const facts = { ...known, now: at, today: localDate(Date.parse(at), context.facts.zone) };
  const then = { ...context, now: () => new Date(at) };
  return { facts, review: jointReview(facts, then), at, context: then };
}

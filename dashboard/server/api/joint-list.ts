/** The list of joints: rows kept in the store, those that something came of made again before they are shown. */
import type { JointFacts } from '#core/journal/joint-facts';
import { jointSummary } from '#core/journal/joint-summary';
import type { JointSummary, JointSummaryList } from '#core/messages/api-journal';
import type { Origin } from '#core/messages/common';
import type { RigBoard } from '../live/rig-board.ts';
import type { JointListFilter } from '../store/joint-list-table.ts';
import type { DashboardStore } from '../store/store.ts';
import { keepIfThereIsRoom } from '../store/store-errors.ts';

interface JointListOptions {
  readonly store: DashboardStore;
  readonly board: RigBoard;
  readonly factsOf: (joint: string) => JointFacts | null;
}

/** A request makes rows for this long; more are to be made only where a store is new to this list. */
const BUDGET_MS = 120;
const AT_ONCE = 500;

export class JointList {
  private readonly options: JointListOptions;

  constructor(options: JointListOptions) {
    this.options = options;
  }

  page(filter: JointListFilter): JointSummaryList {
    const unread = this.refresh();
    const { items, next } = this.options.store.jointList.page(filter);
    return { joints: [...items], next, unread };
  }

  newest(origin: Origin | undefined, limit: number): readonly JointSummary[] {
    this.refresh();
    return this.options.store.jointList.page({ origin, limit }).items;
  }

  /** Makes rows again, the newest first, while the budget lasts; how many are left. */
  private refresh(): number {
    const { jointList } = this.options.store;
    const until = performance.now() + BUDGET_MS;
    const made: [string, JointSummary | null][] = [];
    for (const joint of jointList.stale(AT_ONCE)) {
      made.push([joint, this.row(joint)]);
      if (performance.now() > until) break;
    }
    if (made.length === 0) return 0;
    keepIfThereIsRoom(() => jointList.put(made));
    return jointList.staleCount();
  }

  private row(joint: string): JointSummary | null {
    const { factsOf, board } = this.options;
    const facts = factsOf(joint);
    if (!facts) return null;
    const assigned = board
      .assignmentsOf(joint)
      .filter(({ origin }) => origin === facts.origin)
      .map(({ at }) => at)
      .sort();
    return jointSummary(facts, assigned.at(-1) ?? null);
  }
}

import type { System } from '#core/messages/api-lists';
import type { Dispatch } from '../ingest/dispatch.ts';
import type { ReportEvent } from '../internal-events.ts';
import type { RigBoard } from '../live/rig-board.ts';
import type { StreamHub } from '../live/stream-hub.ts';
import type { DashboardStore } from '../store/store.ts';

/** What the routes stand on. */
export interface DashboardContext {
  readonly store: DashboardStore;
  readonly board: RigBoard;
  readonly hub: StreamHub;
  readonly dispatch: Dispatch;
  readonly report: ReportEvent;
  readonly now: () => Date;
  readonly newId: () => string;
  readonly system: () => System;
  /** What is not well though the dashboard works. */
  readonly warnings: () => string[];
  /** Prometheus text and its content type. */
  readonly metrics: () => Promise<{ text: string; contentType: string }>;
}

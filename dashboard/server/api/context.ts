import type { System } from '#core/messages/api-lists';
import type { VerifyReport } from '#core/messages/api-verify';
import type { RigRange } from '#core/procedure/impossible';
import type { RigAddress } from '#core/topics/topics';
import type { AlarmDesk } from '../alarms/alarm-desk.ts';
import type { Access } from '../auth/open-access.ts';
import type { ExportDesk } from '../export/export-desk.ts';
import type { RunExport } from '../export/export-runner.ts';
import type { Dispatch } from '../ingest/dispatch.ts';
import type { ReportEvent } from '../internal-events.ts';
import type { Announcements } from '../live/announcements.ts';
import type { RigBoard } from '../live/rig-board.ts';
import type { StreamHub } from '../live/stream-hub.ts';
import type { TruckMachines } from '../machines/truck-machines.ts';
import type { SampleStore } from '../store/sample-store.ts';
import type { DashboardStore } from '../store/store.ts';
import type { OpenTraining } from '../training/open-training.ts';
import type { JournalFacts } from './journal-facts.ts';

/** What the routes stand on. */
export interface DashboardContext {
  readonly store: DashboardStore;
  /** Samples to be shown or taken out, wherever they are kept. */
  readonly samples: SampleStore;
  readonly board: RigBoard;
  readonly hub: StreamHub;
  readonly announcements: Announcements;
  readonly dispatch: Dispatch;
  readonly facts: JournalFacts;
  readonly alarms: AlarmDesk;
  /** Accounts, sessions, and who asks. */
  readonly access: Access;
  /** Boards that may connect, and how one becomes such. */
  readonly machines: TruckMachines;
  /** `run` makes archives; the desk those that take a while. */
  readonly exports: { readonly desk: ExportDesk; readonly run: RunExport };
  /** Null: this dashboard is not set up for training. */
  readonly training: OpenTraining | null;
  readonly report: ReportEvent;
  /** Everything kept here checked, on one picture of it. Rejects with one sentence. */
  readonly verifyWhole: () => Promise<VerifyReport>;
  readonly now: () => Date;
  readonly newId: () => string;
  /** What the rigs of this job can do; a procedure beyond it is refused. */
  readonly rigRange: RigRange;
  readonly system: () => System;
  /** What the rig has and lacks may have changed: say so to every screen. */
  readonly tellReadiness: (address: RigAddress) => void;
  /** A person has decided about the key of a rig's seals. */
  readonly onSealKeyDecided: () => void;
  /** A request met a store that cannot be used. */
  readonly onStoreError: (error: Error) => void;
  /** What is not well though the dashboard works. */
  readonly warnings: () => string[];
  /** Prometheus text and its content type. */
  readonly metrics: () => Promise<{ text: string; contentType: string }>;
}

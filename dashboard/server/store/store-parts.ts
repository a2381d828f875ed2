/** What an open store is made of: one part for each kind of row. */
import type SqliteDatabase from 'better-sqlite3';
import type { AlarmTable } from '../alarms/alarm-table.ts';
import type { DashboardKey } from '../seal/dashboard-key.ts';
import type { VerifyReader } from '../verify/verify-reader.ts';
import type { AccountTable } from './account-table.ts';
import type { AuditTable } from './audit-table.ts';
import type { EntryTable } from './entry-table.ts';
import type { JointListTable } from './joint-list-table.ts';
import type { JournalTable } from './journal-table.ts';
import type { PassTable } from './pass-table.ts';
import type { PassphraseTable } from './passphrase-table.ts';
import type { RecordTable } from './record-table.ts';
import type { RigTable } from './rig-table.ts';
import type { SampleTable } from './sample-table.ts';
import type { SealTable } from './seal-table.ts';
import type { SessionTable } from './session-table.ts';
import type { Settling } from './settling.ts';
import type { StoreHealth } from './store-health.ts';
import type { StreamTable } from './stream-table.ts';

export interface StoreParts {
  readonly db: SqliteDatabase.Database;
  readonly streams: StreamTable;
  readonly records: RecordTable;
  readonly samples: SampleTable;
  readonly settling: Settling;
  readonly passes: PassTable;
  readonly entries: EntryTable;
  readonly rigs: RigTable;
  readonly journal: JournalTable;
  readonly alarms: AlarmTable;
  readonly key: DashboardKey;
  readonly health: StoreHealth;
  readonly passphrases: PassphraseTable;
  readonly verification: VerifyReader;
  readonly seals: SealTable;
  readonly jointList: JointListTable;
  readonly accounts: AccountTable;
  readonly sessions: SessionTable;
  readonly audit: AuditTable;
}

import type { Joint, Person } from '#core/messages/api';
import type { JointDetail, ProcedureEntry } from '#core/messages/api-lists';
import type { Assignment } from '#core/messages/assignment';
import type { ClockMapRow } from '#core/messages/clock-map';
import type { Origin, Side } from '#core/messages/common';
import type { RigEvent } from '#core/messages/event';
import type { Deviation, PassMessage } from '#core/messages/pass';
import type { RecordBody, RecordMessage } from '#core/messages/record';
import type { Procedure } from '#core/procedure/procedure';
import type { SampleChunk } from '#core/sample/chunk';
import type { Coverage } from '#core/series/coverage';
import type { LevelRows, PickWidth } from '#core/series/zoom-levels';
import type { RigAddress } from '#core/topics/topics';
import type { AlarmTable } from '../alarms/alarm-table.ts';
import type { FeedRecord } from '../projection/record-feed.ts';
import type { DashboardKey } from '../seal/dashboard-key.ts';
import type { VerifyReader } from '../verify/verify-reader.ts';
import type { AccountTable } from './account-table.ts';
import type { AuditTable } from './audit-table.ts';
import type { JointListTable } from './joint-list-table.ts';
import type { JournalTable } from './journal-table.ts';
import type { PassphraseTable } from './passphrase-table.ts';
import type { Held } from './sample-rows.ts';
import type { SealTable } from './seal-table.ts';
import type { SessionTable } from './session-table.ts';

/** A record whose hash has been checked. `body` is null when its text is not a record body we can read. */
export interface VerifiedRecord extends RigAddress {
  readonly message: RecordMessage;
  readonly body: RecordBody | null;
  /** Decoded samples with the bytes they came from; null without samples or when they cannot be decoded. */
  readonly samples: { readonly chunk: SampleChunk; readonly bytes: Uint8Array } | null;
  /** Why something of it could not be read; null when all was. */
  readonly unreadable: string | null;
}

export type RecordOutcome = 'stored' | 'duplicate' | 'conflict';

/** Where one stream stands after a commit. */
export interface StreamState extends RigAddress {
  readonly stream: string;
  readonly origin: Origin;
  /** Where contiguity begins; null while the first records have not come. */
  readonly first: number | null;
  /** Everything from `first` to here is committed; `head` is the hash of it, zeros at 0. */
  readonly upto: number;
  readonly head: string;
  /** Lowest and highest sequence number stored; null when none is. */
  readonly lowest: number | null;
  readonly highest: number | null;
  readonly waiting: number;
  readonly conflicts: number;
  /** The record after `upto` is here and does not carry `head` as its predecessor. */
  readonly chainBroken: boolean;
}

export interface CommitResult {
  /** One per record, in order. */
  readonly outcomes: readonly RecordOutcome[];
  /** Every stream the batch touched, once. */
  readonly streams: readonly StreamState[];
  /** Passes left out because they name another rig, stream or an existing pass of one. */
  readonly foreignPasses: readonly string[];
}

export interface StoredRecord {
  /** Grows with every record stored; never re-used. */
  readonly id: number;
  /** The exact text that was hashed. */
  readonly body: string;
}

export interface RigRow extends RigAddress {
  readonly place: number;
  readonly origin: Origin | null;
}

export interface StoredAssignment extends RigAddress {
  readonly id: string;
  readonly at: string;
  readonly author: string;
  readonly work: Assignment['work'];
}

export interface PassFilter {
  readonly joint?: string | undefined;
  readonly site?: string | undefined;
  readonly rig?: string | undefined;
  readonly origin?: Origin | undefined;
  readonly limit: number;
  readonly before?: string | undefined;
}

/** Passes by when they began: `fromUtc` ≤ start < `toUtc`. */
export interface BegunFilter {
  readonly origin: Origin;
  readonly joint?: string | undefined;
  readonly site?: string | undefined;
  readonly rig?: string | undefined;
  readonly fromUtc?: string | undefined;
  readonly toUtc: string;
}

/** A pass without its verdicts and what was followed along it, which are most of its text. */
export interface LightPass {
  readonly message: PassMessage;
  /** Changes along the weld that were called; trims are none. */
  readonly changes: number;
}

export interface EventFilter {
  readonly site?: string | undefined;
  readonly rig?: string | undefined;
  readonly type?: string | undefined;
  /** UTC, inclusive. */
  readonly fromUtc?: string | undefined;
  readonly toUtc?: string | undefined;
  readonly limit: number;
  readonly before?: string | undefined;
}

export interface Page<T> {
  readonly items: readonly T[];
  readonly next: string | null;
}

export interface DeviationRow extends RigAddress {
  readonly origin: Origin;
  readonly passId: string;
  readonly joint: string | null;
  readonly side: Side | null;
  readonly procedurePass: string | null;
  readonly atUtc: string;
  readonly deviation: Deviation;
}

/** Stored samples of a stretch of time, as a reader needs them before deciding whether to read them. */
export interface ChunkRow extends Coverage {
  readonly id: number;
  /** One record's, as they came; settled with those of many others; or let go here, with summaries left. */
  readonly kind: 'batch' | 'stretch' | 'summary';
  /** Of a batch, whose samples may settle before they are read, and whose id then may be another's. */
  readonly record?: { readonly streamId: number; readonly seq: number };
  /** Samples in it. */
  readonly n: number;
  /** At its end. */
  readonly utcMinusRecordMs: number;
  /** How record time reads on the wall clock, from each of these on: [record time µs, UTC − record time ms]. */
  readonly wall: readonly (readonly [number, number])[];
  /** Per channel of the chunk the least and greatest known value; null when none is known. */
  readonly extremes: Readonly<Record<string, readonly [number, number] | null>>;
  /** Of a chunk whose samples are means: least and greatest of what each stands for; else null. */
  readonly reduced: Readonly<Record<string, readonly (readonly [number, number] | null)[]>> | null;
}

/** A range asked for in record time of a stream or in UTC. */
export type SampleRange =
  | {
      readonly kind: 'record';
      readonly fromUs: number;
      readonly toUs: number;
      readonly stream?: string | undefined;
    }
  | { readonly kind: 'utc'; readonly fromMs: number; readonly toMs: number };

export interface SampleSpan {
  readonly stream: string;
  readonly utcMinusRecordMs: number;
  readonly fromUs: number;
  readonly toUs: number;
  /** In time order, with the chunk before and after the range where they exist. */
  readonly chunks: readonly ChunkRow[];
}

/** The last sample of a rig's newest stream. */
export interface NewestSample {
  readonly stream: string;
  readonly lastUs: number;
  readonly lastUtcMs: number;
}

export type JournalStore = Pick<
  JournalTable,
  | 'add'
  | 'entry'
  | 'correctionOf'
  | 'page'
  | 'about'
  | 'ofKind'
  | 'head'
  | 'signed'
  | 'signedHead'
  | 'keys'
  | 'addJudgement'
  | 'judgement'
>;

/** What the dashboard keeps. Every write is durable (power loss included) when the call returns. */
export interface DashboardStore {
  open(): void;
  close(): void;

  commitRecords(batch: readonly VerifiedRecord[], receivedAt: string): CommitResult;
  /** Contiguity of a stream that this store has no beginning of starts at `first`; null when not possible. */
  startStreamAt(address: RigAddress, stream: string, first: number): StreamState | null;
  streamStates(): StreamState[];
  /** Where one stream stands; null where nothing of it has come. */
  streamState(address: RigAddress, stream: string): StreamState | null;
  /** The stream of a rig that a record came for last; null before the first. */
  newestStream(address: RigAddress): StreamState | null;

  /** Stored records in the order they came, from behind `id` on, with their streams: what a projection reads. */
  recordsAfter(id: number, limit: number): FeedRecord[];

  rigs(): RigRow[];
  /** The rig's row, made with the next free place when new; null when there are `maxRigs` already. */
  ensureRig(address: RigAddress, seenAt: string, maxRigs: number): RigRow | null;
  setRigOrigin(address: RigAddress, origin: Origin): void;

  sampleSpan(address: RigAddress, range: SampleRange): SampleSpan | null;
  /** Of a stream's clock map the rows after `recordUs` that can date it (record/redate.ts). */
  clockMapAfter(address: RigAddress, stream: string, recordUs: number): ClockMapRow[];
  newestSample(address: RigAddress): NewestSample | null;
  /** Null where only summaries are left here. */
  chunkSamples(chunk: Held): SampleChunk | null;
  /** Of each, in their order; those side by side in memory are put together without a copy (rejoinSlices). */
  allSamples(chunks: readonly Held[]): (SampleChunk | null)[];
  /** Id of the newest record that samples of it came with. */
  chunkRecord(chunk: Held): number;
  /** Summaries at the width that is picked; null of a batch, which has its extremes alone. */
  chunkZoom(chunk: Held, pick: PickWidth): LevelRows | null;

  pass(passId: string): PassMessage | null;
  passes(filter: PassFilter): Page<PassMessage>;
  /** In the order they began; `verdicts` are left empty. */
  passesBegun(filter: BegunFilter): LightPass[];
  /** Every pass that began in the span, and the joint it was recorded under. */
  jointsBegun(origin: Origin, fromUtc: string, toUtc: string): { passId: string; joint: string | null }[];
  /** Of passes that began in a span: real before simulated before replay. */
  originsBegun(fromUtc: string, toUtc: string, site: string | undefined): Origin[];
  deviations(filter: PassFilter): Page<DeviationRow>;
  events(filter: EventFilter): Page<RigAddress & { readonly event: RigEvent }>;
  jointOrigins(joint?: string): Origin[];
  joints(origin: Origin, limit: number, before: string | undefined): Page<Joint>;
  joint(joint: string, origin: Origin): JointDetail | null;

  procedures(): ProcedureEntry[];
  procedure(id: string, revision: number): ProcedureEntry | null;
  /** False when this id and revision exist already. */
  addProcedure(procedure: Procedure, at: string, author: string): boolean;
  addAssignment(assignment: StoredAssignment): void;
  assignments(filter: {
    site?: string | undefined;
    rig?: string | undefined;
    limit: number;
    before?: string | undefined;
  }): Page<StoredAssignment>;
  assignment(id: string): StoredAssignment | null;
  currentAssignment(address: RigAddress): StoredAssignment | null;
  people(): Person[];
  addPerson(person: Person, at: string): void;

  /** What people enter, append-only, chained and signed by `key`. */
  readonly journal: JournalStore;
  /** Signed passes and heads of the edges, and whose they are. */
  readonly seals: SealTable;
  readonly key: DashboardKey;
  /** Fingerprints of the keys this dashboard signs with, or signed with before. */
  trustedKeys(): string[];
  /** What a verification reads. */
  readonly verification: VerifyReader;
  readonly accounts: AccountTable;
  readonly sessions: SessionTable;
  /** What was done with accounts, append-only. */
  readonly audit: AuditTable;
  /** All of it or nothing. */
  atOnce<T>(work: () => T): T;
  readonly passphrases: Pick<PassphraseTable, 'of' | 'add' | 'holders'>;
  /** Alarms as they stand, and the append-only log of what was announced and done. */
  readonly alarms: AlarmTable;
  /** Joints whose records, or whose assignments, name a procedure revision. */
  jointsByProcedure(id: string, revision: number): { joint: string; origin: Origin; lastUtc: string }[];
  assignmentsByProcedure(
    id: string,
    revision: number,
  ): (StoredAssignment & { readonly work: NonNullable<StoredAssignment['work']> })[];
  /** Recorded under no joint, newest first. */
  passesWithoutJoint(limit: number, but?: readonly string[]): PassMessage[];
  /** Rows of the joint list, and which are to be made again. */
  readonly jointList: Pick<JointListTable, 'page' | 'stale' | 'staleCount' | 'put'>;

  /** Throws when the store cannot be read. */
  check(): void;
  size(): { records: number; bytes: number };
}

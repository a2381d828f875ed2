/**
 * The dashboard's store: one SQLite file, WAL, synchronous=FULL, so that what an ack names survives a power cut.
 * Raw records are the truth; samples, passes, deviations and events are read out of them.
 */
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import type SqliteDatabase from 'better-sqlite3';
import type { Person } from '#core/messages/api';
import type { ProcedureEntry } from '#core/messages/api-lists';
import type { Origin } from '#core/messages/common';
import type { Procedure } from '#core/procedure/procedure';
import { EXIT, ProgramError } from '#core/program/program-error';
import type { PickWidth } from '#core/series/zoom-levels';
import type { RigAddress } from '#core/topics/topics';
import { AlarmTable } from '../alarms/alarm-table.ts';
import type { ReportEvent } from '../internal-events.ts';
import { type DashboardKey, KEY_FILE, openDashboardKey, publicKeysBeside } from '../seal/dashboard-key.ts';
import { fingerprintOf } from '../seal/ed25519.ts';
import { VerifyReader } from '../verify/verify-reader.ts';
import { AccountTable } from './account-table.ts';
import { AuditTable } from './audit-table.ts';
import { carryEntries } from './carry-entries.ts';
import { EntryTable } from './entry-table.ts';
import { JointListTable } from './joint-list-table.ts';
import { JournalSignatures } from './journal-signatures.ts';
import { JournalTable } from './journal-table.ts';
import { NewerLayoutError } from './migrate.ts';
import { openDatabase } from './open-database.ts';
import { openReadOnly } from './open-read-only.ts';
import { PassTable } from './pass-table.ts';
import { PassphraseTable } from './passphrase-table.ts';
import { makeFolder, makePrivate } from './private-folder.ts';
import { RecordTable } from './record-table.ts';
import { RigTable } from './rig-table.ts';
import type { Held } from './sample-rows.ts';
import { SampleTable } from './sample-table.ts';
import { SealTable } from './seal-table.ts';
import { SessionTable } from './session-table.ts';
import { setAside } from './set-aside.ts';
import { SETTLING, Settling, type SettlingOptions } from './settling.ts';
import { checkAtStart, DamagedStoreError } from './start-check.ts';
import { type Prepare, prepareOnce } from './statements.ts';
import type {
  BegunFilter,
  DashboardStore,
  EventFilter,
  PassFilter,
  SampleRange,
  StoredAssignment,
  VerifiedRecord,
} from './store.ts';
import { StoreHealth } from './store-health.ts';
import type { StoreParts } from './store-parts.ts';
import { StreamTable } from './stream-table.ts';

export type Sqlite = typeof SqliteDatabase;

export interface SqliteStoreOptions {
  readonly directory: string;
  /** The better-sqlite3 constructor, loaded by the program when it needs it. */
  readonly sqlite: Sqlite;
  readonly report: ReportEvent;
  readonly now: () => Date;
  /** Nothing is written: for a program beside the dashboard. */
  readonly readOnly?: boolean;
  readonly settling?: SettlingOptions;
}

const FILE = 'dashboard.sqlite3';
const DAMAGED = /^SQLITE_(CORRUPT|NOTADB|FORMAT)/;

export class SqliteStore implements DashboardStore {
  private readonly options: SqliteStoreOptions;
  private opened: StoreParts | null = null;

  constructor(options: SqliteStoreOptions) {
    this.options = options;
  }

  open(): void {
    const { directory, sqlite, report, now, readOnly } = this.options;
    if (readOnly) {
      this.opened = this.parts(openReadOnly(sqlite, directory), () => {});
      return;
    }
    const file = join(directory, FILE);
    const usedBefore = existsSync(join(directory, KEY_FILE));
    makeFolder(directory);
    try {
      checkAtStart({ sqlite, file, usedBefore, monotonicMs: () => performance.now() });
      makePrivate(directory, file);
      this.opened = this.openFile(file);
    } catch (error) {
      if (error instanceof NewerLayoutError) {
        throw new ProgramError(
          `The store in ${directory} was written by a newer Girthlog (layout ${error.found}): use that version, ` +
            'or give another directory with --data.',
          EXIT.configuration,
        );
      }
      if (!isDamage(error)) throw error;
      const movedTo = setAside(file, now());
      makePrivate(directory, file);
      this.opened = this.openFile(file, db => {
        const { rows, lost } = carryEntries(db, sqlite, movedTo);
        report('storeQuarantined', { movedTo, reason: (error as Error).message, entriesKept: rows, lost });
      });
    }
  }

  close(): void {
    this.opened?.db.close();
    this.opened = null;
  }

  /** `prepare` fills a new file before anything of it is read. */
  private openFile(file: string, prepare: (db: SqliteDatabase.Database) => void = () => {}): StoreParts {
    const { sqlite, report } = this.options;
    return this.parts(openDatabase(sqlite, file, report), prepare);
  }

  private parts(db: SqliteDatabase.Database, prepare: (db: SqliteDatabase.Database) => void): StoreParts {
    try {
      prepare(db);
      const sql = prepareOnce(db);
      const streams = new StreamTable(sql);
      const seals = new SealTable(sql, work => db.transaction(work)());
      const key = openDashboardKey(this.options.directory);
      return {
        db,
        streams,
        records: new RecordTable(db, sql, streams, seals),
        samples: new SampleTable(sql, streams),
        settling: new Settling(db, sql, this.options.settling ?? SETTLING),
        passes: new PassTable(sql),
        entries: new EntryTable(sql),
        rigs: new RigTable(sql),
        journal: this.openJournal(db, sql, key),
        alarms: new AlarmTable(sql, work => db.transaction(work)()),
        key,
        health: new StoreHealth(db, sql, this.options.directory),
        passphrases: new PassphraseTable(sql),
        accounts: new AccountTable(sql),
        sessions: new SessionTable(sql),
        audit: new AuditTable(sql, work => db.transaction(work)()),
        verification: new VerifyReader(sql),
        seals,
        jointList: new JointListTable(sql, work => db.transaction(work)()),
      };
    } catch (error) {
      db.close();
      throw error;
    }
  }

  private openJournal(db: SqliteDatabase.Database, sql: Prepare, key: DashboardKey): JournalTable {
    const { report, now } = this.options;
    const signatures = new JournalSignatures(sql, key, now);
    const journal = new JournalTable(db, sql, signatures);
    if (db.readonly) return journal;
    const found = journal.signFound();
    if (found > 0) report('journalSignedAsFound', { entries: found, key: key.fingerprint });
    const unsigned = signatures.unsigned();
    if (unsigned > 0) report('journalUnsigned', { entries: unsigned });
    return journal;
  }

  private get use(): StoreParts {
    if (!this.opened) throw new Error('the store is not open');
    return this.opened;
  }

  commitRecords = (batch: readonly VerifiedRecord[], receivedAt: string) =>
    this.use.records.commit(batch, receivedAt);
  startStreamAt = (address: RigAddress, stream: string, first: number) =>
    this.use.db.transaction(() => this.use.streams.startAt(address, stream, first))();
  streamStates = () => this.use.streams.states();
  streamState = (address: RigAddress, stream: string) => this.use.streams.of(address, stream);
  newestStream = (address: RigAddress) => this.use.streams.newest(address);

  rigs = () => this.use.rigs.all();
  ensureRig = (address: RigAddress, seenAt: string, maxRigs: number) =>
    this.use.rigs.ensure(address, seenAt, maxRigs);
  setRigOrigin = (address: RigAddress, origin: Origin) => this.use.rigs.setOrigin(address, origin);

  recordsAfter = (id: number, limit: number) => this.use.records.after(id, limit);
  recordsBehind = (address: RigAddress, stream: string, seq: number, limit: number) =>
    this.use.records.behind(address, stream, seq, limit);

  sampleSpan = (address: RigAddress, range: SampleRange) => this.use.samples.span(address, range);
  clockMapAfter = (address: RigAddress, stream: string, recordUs: number) =>
    this.use.records.clockMap.after(address, stream, recordUs);
  newestSample = (address: RigAddress) => this.use.samples.newest(address);
  chunkSamples = (chunk: Held) => this.use.samples.samples(chunk);
  allSamples = (chunks: readonly Held[]) => this.use.samples.allSamples(chunks);
  chunkRecord = (chunk: Held) => this.use.samples.newestRecord(chunk);
  chunkZoom = (chunk: Held, pick: PickWidth) => this.use.samples.zoom(chunk, pick);

  pass = (passId: string) => this.use.passes.pass(passId);
  passes = (filter: PassFilter) => this.use.passes.passes(filter);
  passesBegun = (filter: BegunFilter) => this.use.passes.begun(filter);
  jointsBegun = (...span: Parameters<PassTable['jointsBegun']>) => this.use.passes.jointsBegun(...span);
  originsBegun = (fromUtc: string, toUtc: string, site: string | undefined) =>
    this.use.passes.originsBegun(fromUtc, toUtc, site);
  deviations = (filter: PassFilter) => this.use.passes.deviations(filter);
  events = (filter: EventFilter) => this.use.passes.events(filter);
  jointOrigins = (joint?: string) => this.use.passes.origins(joint);
  joints = (origin: Origin, limit: number, before: string | undefined) =>
    this.use.passes.joints(origin, limit, before);
  joint = (joint: string, origin: Origin) => this.use.passes.joint(joint, origin);

  jointsByProcedure = (id: string, revision: number) => this.use.passes.jointsByProcedure(id, revision);
  assignmentsByProcedure = (id: string, revision: number) =>
    this.use.entries.assignmentsByProcedure(id, revision);
  passesWithoutJoint = (limit: number, but: readonly string[] = []) =>
    this.use.passes.withoutJoint(limit, but);

  procedures = (): ProcedureEntry[] => this.use.entries.procedures();
  procedure = (id: string, revision: number) => this.use.entries.procedure(id, revision);
  addProcedure = (procedure: Procedure, at: string, author: string) =>
    this.use.entries.addProcedure(procedure, at, author);
  addAssignment = (assignment: StoredAssignment) => this.use.entries.addAssignment(assignment);
  assignments = (filter: Parameters<DashboardStore['assignments']>[0]) =>
    this.use.entries.assignments(filter);
  assignment = (id: string) => this.use.entries.assignment(id);
  currentAssignment = (address: RigAddress) => this.use.entries.currentAssignment(address);
  people = (): Person[] => this.use.entries.people();
  addPerson = (person: Person, at: string) => this.use.entries.addPerson(person, at);

  get jointList(): JointListTable {
    return this.use.jointList;
  }

  /** All of it or nothing. */
  atOnce = <T>(work: () => T): T => this.use.db.transaction(work)();

  get accounts(): AccountTable {
    return this.use.accounts;
  }

  get sessions(): SessionTable {
    return this.use.sessions;
  }

  get audit(): AuditTable {
    return this.use.audit;
  }

  get seals(): SealTable {
    return this.use.seals;
  }

  get alarms(): AlarmTable {
    return this.use.alarms;
  }

  get journal(): JournalTable {
    return this.use.journal;
  }

  get passphrases(): PassphraseTable {
    return this.use.passphrases;
  }

  /** Fingerprints of the keys whose public half lies beside the store. */
  trustedKeys(): string[] {
    return publicKeysBeside(this.options.directory).map(fingerprintOf);
  }

  get verification(): VerifyReader {
    return this.use.verification;
  }

  get key(): DashboardKey {
    return this.use.key;
  }

  get settling(): Settling {
    return this.use.settling;
  }

  /** What the keepers of the store ask of its file. */
  get health(): StoreHealth {
    return this.use.health;
  }

  check(): void {
    this.use.db.prepare('SELECT count(*) FROM rigs').get();
  }

  size = () => this.use.health.size();
}

/** What only a new file can cure. */
function isDamage(error: unknown): boolean {
  return error instanceof DamagedStoreError || DAMAGED.test((error as { code?: string }).code ?? '');
}

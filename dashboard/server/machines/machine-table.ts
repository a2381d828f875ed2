/**
 * Which machines may connect, in a file of their own: the program's commands write it beside a running dashboard, which
 * looks whether it has changed. Nothing is deleted: a machine that may not connect any more stays, with when and why.
 *
 * machines.sqlite3, layout 1: codes (hash of a one-time code, for which rig, until when), machines (credentials), stores
 * (certificates of other dashboards that connect here).
 */
import { closeSync, constants, fchmodSync, mkdirSync, openSync } from 'node:fs';
import { dirname, join } from 'node:path';
import type SqliteDatabase from 'better-sqlite3';
import type { Machine } from '#core/messages/enrolment';
import { EXIT, ProgramError } from '#core/program/program-error';
import { identityOf } from '#core/topics/access';
import type { RigAddress } from '#core/topics/topics';
import type { Credential } from '../broker/protocol.ts';
import { giveToOwner } from '../give-to-owner.ts';
import { type Prepare, prepareOnce } from '../store/statements.ts';

export const MACHINES_FILE = 'machines.sqlite3';
const LAYOUT = 1;

const SCHEMA = `
  CREATE TABLE codes (
    hash TEXT PRIMARY KEY,
    site TEXT NOT NULL, rig TEXT NOT NULL,
    made_at TEXT NOT NULL, made_by TEXT NOT NULL,
    ends_at TEXT NOT NULL,
    used_at TEXT
  ) STRICT;
  CREATE TABLE machines (
    n INTEGER PRIMARY KEY AUTOINCREMENT,
    site TEXT NOT NULL, rig TEXT NOT NULL,
    kind TEXT NOT NULL,
    proof TEXT NOT NULL UNIQUE,
    seal_public_key TEXT NOT NULL,
    enrolled_at TEXT NOT NULL,
    ends_at TEXT,
    state TEXT NOT NULL DEFAULT 'valid',
    since TEXT NOT NULL,
    decided_by TEXT, reason TEXT
  ) STRICT;
  CREATE TABLE stores (
    n INTEGER PRIMARY KEY AUTOINCREMENT,
    name TEXT NOT NULL,
    serial TEXT NOT NULL UNIQUE,
    made_at TEXT NOT NULL,
    ends_at TEXT NOT NULL,
    state TEXT NOT NULL DEFAULT 'valid',
    since TEXT NOT NULL,
    decided_by TEXT, reason TEXT
  ) STRICT;
  CREATE UNIQUE INDEX one_valid_store ON stores (name) WHERE state = 'valid';
  CREATE UNIQUE INDEX one_valid_machine ON machines (site, rig) WHERE state = 'valid';
`;

export interface NewMachine extends RigAddress {
  readonly kind: Machine['kind'];
  /** Serial number of the certificate (hex, capitals), or SHA-256 of the secret. */
  readonly proof: string;
  readonly sealPublicKey: string;
  readonly at: string;
  readonly endsAt: string | null;
}

export interface CodeRow extends RigAddress {
  readonly madeBy: string;
  readonly endsAt: string;
  readonly usedAt: string | null;
}

/** Another dashboard that may connect to this truck's broker. */
export interface StoreRow {
  readonly name: string;
  readonly serial: string;
  readonly madeAt: string;
  readonly endsAt: string;
  readonly state: Machine['state'];
  readonly since: string;
  readonly reason: string | null;
}

export class MachineTable {
  private readonly db: SqliteDatabase.Database;
  private readonly sql: Prepare;

  /** Opens the file in the data directory, made where there is none. Throws ProgramError. */
  constructor(sqlite: typeof SqliteDatabase, directory: string) {
    const file = join(directory, MACHINES_FILE);
    try {
      mkdirSync(dirname(file), { recursive: true });
      closeToOthers(file);
      giveToOwner(file);
      this.db = sqlite(file);
      for (const pragma of ['busy_timeout = 5000', 'synchronous = FULL', 'trusted_schema = OFF']) {
        this.db.pragma(pragma);
      }
      this.layOut(file);
    } catch (error) {
      if (error instanceof ProgramError) throw error;
      throw new ProgramError(
        `The list of machines ${file} cannot be opened (${(error as { code?: string }).code ?? error}).`,
        EXIT.configuration,
      );
    }
    this.sql = prepareOnce(this.db);
  }

  close(): void {
    this.db.close();
  }

  /** A number that changes when another program has written. */
  version(): number {
    return this.db.pragma('data_version', { simple: true }) as number;
  }

  inOne<T>(work: () => T): T {
    return this.db.transaction(work).immediate();
  }

  /** A newer code makes the rig's older ones worthless. */
  addCode(hash: string, rig: RigAddress, at: string, by: string, endsAt: string): void {
    this.inOne(() => {
      this.sql('UPDATE codes SET used_at = ? WHERE site = ? AND rig = ? AND used_at IS NULL').run(
        at,
        rig.site,
        rig.rig,
      );
      this.sql(
        'INSERT INTO codes (hash, site, rig, made_at, made_by, ends_at) VALUES (?, ?, ?, ?, ?, ?)',
      ).run(hash, rig.site, rig.rig, at, by, endsAt);
    });
  }

  code(hash: string): CodeRow | null {
    const row = this.sql(
      'SELECT site, rig, made_by AS madeBy, ends_at AS endsAt, used_at AS usedAt FROM codes WHERE hash = ?',
    ).get(hash);
    return (row as CodeRow | undefined) ?? null;
  }

  /** False when somebody was faster. */
  useCode(hash: string, at: string): boolean {
    return (
      this.sql('UPDATE codes SET used_at = ? WHERE hash = ? AND used_at IS NULL').run(at, hash).changes === 1
    );
  }

  /** The machine the rig had before is replaced by it. */
  add({ site, rig, kind, proof, sealPublicKey, at, endsAt }: NewMachine): void {
    this.inOne(() => {
      this.sql(
        `UPDATE machines SET state = 'replaced', since = ? WHERE site = ? AND rig = ? AND state = 'valid'`,
      ).run(at, site, rig);
      this.sql(
        `INSERT INTO machines (site, rig, kind, proof, seal_public_key, enrolled_at, ends_at, since)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?)`,
      ).run(site, rig, kind, proof, sealPublicKey, at, endsAt, at);
    });
  }

  /** False when the rig has no valid machine. Its open codes end as well. */
  revoke({ site, rig }: RigAddress, decision: { at: string; by: string; reason: string }): boolean {
    const { at, by, reason } = decision;
    return this.inOne(() => {
      this.sql('UPDATE codes SET used_at = ? WHERE site = ? AND rig = ? AND used_at IS NULL').run(
        at,
        site,
        rig,
      );
      const ended = this.sql(
        `UPDATE machines SET state = 'revoked', since = ?, decided_by = ?, reason = ?
         WHERE site = ? AND rig = ? AND state = 'valid'`,
      ).run(at, by, reason, site, rig);
      return ended.changes === 1;
    });
  }

  /** The certificate that store had before is replaced by this one. */
  addStore(name: string, serial: string, at: string, endsAt: string): void {
    this.inOne(() => {
      this.sql(`UPDATE stores SET state = 'replaced', since = ? WHERE name = ? AND state = 'valid'`).run(
        at,
        name,
      );
      this.sql('INSERT INTO stores (name, serial, made_at, ends_at, since) VALUES (?, ?, ?, ?, ?)').run(
        name,
        serial,
        at,
        endsAt,
        at,
      );
    });
  }

  /** False when no such store may connect. */
  revokeStore(name: string, { at, by, reason }: { at: string; by: string; reason: string }): boolean {
    const ended = this.sql(
      `UPDATE stores SET state = 'revoked', since = ?, decided_by = ?, reason = ? WHERE name = ? AND state = 'valid'`,
    ).run(at, by, reason, name);
    return ended.changes === 1;
  }

  /** Every other dashboard there was, the newest first. */
  stores(): StoreRow[] {
    return this.sql(
      `SELECT name, serial, made_at AS madeAt, ends_at AS endsAt, state, since, reason FROM stores ORDER BY n DESC`,
    ).all() as StoreRow[];
  }

  /** Every machine there was, the newest first. */
  all(): Machine[] {
    const rows = this.sql(
      `SELECT site, rig, kind, CASE kind WHEN 'certificate' THEN proof END AS serial,
         seal_public_key AS sealPublicKey, enrolled_at AS enrolledAt, ends_at AS endsAt, state, since,
         decided_by AS decidedBy, reason
       FROM machines ORDER BY n DESC`,
    ).all();
    return rows as Machine[];
  }

  /** What the broker takes. */
  credentials(): Credential[] {
    const rows = this.sql(
      `SELECT site || '/' || rig AS identity, kind, proof FROM machines WHERE state = 'valid' ORDER BY n`,
    ).all() as { identity: string; kind: Machine['kind']; proof: string }[];
    const machines = rows.map(({ identity, kind, proof }) =>
      kind === 'certificate' ? { kind, identity, serial: proof } : { kind, identity, hash: proof },
    );
    const stores = this.stores()
      .filter(({ state }) => state === 'valid')
      .map(({ name, serial }) => {
        return { kind: 'certificate', identity: identityOf({ kind: 'store', store: name }), serial } as const;
      });
    return [...machines, ...stores];
  }

  /** Serial numbers of certificates that were replaced or revoked, and when. */
  takenBack(): { serial: string; at: Date }[] {
    const rows = this.sql(
      `SELECT proof AS serial, since FROM machines WHERE kind = 'certificate' AND state <> 'valid'
       UNION ALL SELECT serial, since FROM stores WHERE state <> 'valid' ORDER BY since`,
    ).all() as { serial: string; since: string }[];
    return rows.map(({ serial, since }) => ({ serial, at: new Date(since) }));
  }

  private layOut(file: string): void {
    this.db
      .transaction(() => {
        const found = this.db.pragma('user_version', { simple: true }) as number;
        if (found > LAYOUT) {
          throw new ProgramError(
            `${file} has layout ${found}: use the newer Girthlog that wrote it.`,
            EXIT.configuration,
          );
        }
        if (found === LAYOUT) return;
        this.db.exec(SCHEMA);
        this.db.pragma(`user_version = ${LAYOUT}`);
      })
      .immediate();
  }
}

/** Made where there is none. Commands may be run by root in a folder of the service: a link there is not followed. */
function closeToOthers(file: string): void {
  const { O_RDWR, O_CREAT, O_NOFOLLOW } = constants;
  const handle = openSync(file, O_RDWR | O_CREAT | O_NOFOLLOW, 0o600);
  try {
    fchmodSync(handle, 0o600);
  } finally {
    closeSync(handle);
  }
}

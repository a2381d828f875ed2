/** The log of accounts: append-only in the file itself, and chained, so that a line taken out shows. */
import type { AuditEntry } from '#core/messages/api-account';
import { canonicalJson } from '#core/record/canonical-json';
import { sha256Hex } from '../seal/ed25519.ts';
import { pageOf, where } from './page.ts';
import type { Prepare } from './statements.ts';
import type { Page } from './store.ts';

export type NewAuditEntry = Omit<AuditEntry, 'number' | 'prev' | 'hash'>;

export const AUDIT_START = '0'.repeat(64);

/** What is hashed: everything of the entry but the hash. */
export function auditHash({ hash: _hash, ...entry }: AuditEntry): string {
  return sha256Hex(canonicalJson(entry));
}

export class AuditTable {
  private readonly sql: Prepare;
  private readonly atOnce: <T>(work: () => T) => T;

  constructor(sql: Prepare, atOnce: <T>(work: () => T) => T) {
    this.sql = sql;
    this.atOnce = atOnce;
  }

  add(entry: NewAuditEntry): AuditEntry {
    return this.atOnce(() => {
      const last = this.sql('SELECT * FROM audit ORDER BY number DESC LIMIT 1').get() as
        | AuditEntry
        | undefined;
      const added = { number: (last?.number ?? 0) + 1, ...entry, prev: last?.hash ?? AUDIT_START };
      const hash = auditHash({ ...added, hash: '' });
      const { number, at, what, person, by, address, detail, prev } = added;
      this.sql(
        `INSERT INTO audit (number, at, what, person, by, address, detail, prev, hash)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)`,
      ).run(number, at, what, person, by, address, detail, prev, hash);
      return { ...added, hash };
    });
  }

  /** Newest first. */
  page(filter: { limit: number; before?: string | undefined }): Page<AuditEntry> {
    const { clause, values } = where({}, 'number < cast(? AS INTEGER)', filter.before, 1);
    const rows = this.sql(`SELECT * FROM audit ${clause} ORDER BY number DESC LIMIT ?`).all(
      ...values,
      filter.limit + 1,
    ) as AuditEntry[];
    return pageOf(
      rows,
      filter.limit,
      row => [String(row.number)],
      row => row,
    );
  }

  /** Number of the first entry that does not fit; null where all do. `count` of them are there. */
  check(): { brokenAt: number | null; count: number } {
    let prev = AUDIT_START;
    let count = 0;
    for (const row of this.sql('SELECT * FROM audit ORDER BY number').iterate() as Iterable<AuditEntry>) {
      count++;
      if (row.number !== count || row.prev !== prev || row.hash !== auditHash(row)) {
        return { brokenAt: count, count };
      }
      prev = row.hash;
    }
    return { brokenAt: null, count };
  }
}

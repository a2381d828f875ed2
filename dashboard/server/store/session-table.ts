/** Sessions that have not ended, by the hash of their token: what is kept here opens nothing. */
import type { Prepare } from './statements.ts';

export interface StoredSession {
  readonly tokenHash: string;
  readonly id: string;
  readonly personId: string;
  readonly how: 'passphrase' | 'code' | 'setUp' | 'link';
  readonly address: string;
  readonly device: string;
  readonly startedAt: string;
  readonly actedAt: string;
  readonly endsAt: string;
}

const COLUMNS = `token_hash AS tokenHash, id, person_id AS personId, how, address, device,
  started_at AS startedAt, acted_at AS actedAt, ends_at AS endsAt`;

export class SessionTable {
  private readonly sql: Prepare;

  constructor(sql: Prepare) {
    this.sql = sql;
  }

  add(session: StoredSession): void {
    this.sql(
      `INSERT INTO sessions (token_hash, id, person_id, how, address, device, started_at, acted_at, ends_at)
       VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)`,
    ).run(
      session.tokenHash,
      session.id,
      session.personId,
      session.how,
      session.address,
      session.device,
      session.startedAt,
      session.actedAt,
      session.endsAt,
    );
  }

  all(): StoredSession[] {
    return this.sql(`SELECT ${COLUMNS} FROM sessions ORDER BY started_at`).all() as StoredSession[];
  }

  acted(id: string, at: string): void {
    this.sql('UPDATE sessions SET acted_at = ? WHERE id = ?').run(at, id);
  }

  drop(id: string): void {
    this.sql('DELETE FROM sessions WHERE id = ?').run(id);
  }
}

/** Hashes of passphrases, append-only; the latest of a person counts. */
import type { Prepare } from './statements.ts';

export class PassphraseTable {
  private readonly sql: Prepare;

  constructor(sql: Prepare) {
    this.sql = sql;
  }

  /** The hash as auth/passphrase-hash.ts writes it; null where the person has set none. */
  of(personId: string): string | null {
    const row = this.sql('SELECT hash FROM passphrases WHERE person_id = ? ORDER BY n DESC LIMIT 1').get(
      personId,
    ) as { hash: string } | undefined;
    return row?.hash ?? null;
  }

  add(personId: string, at: string, hash: string): void {
    this.sql('INSERT INTO passphrases (person_id, at, hash) VALUES (?, ?, ?)').run(personId, at, hash);
  }

  /** Ids of everyone who has set one. */
  holders(): Set<string> {
    const rows = this.sql('SELECT DISTINCT person_id FROM passphrases').all() as { person_id: string }[];
    return new Set(rows.map(row => row.person_id));
  }
}

/** Accounts and the codes that open them. The latest change of an account counts; codes go when they are used. */
import type { Prepare } from './statements.ts';

export interface Account {
  readonly personId: string;
  readonly signInName: string;
  readonly state: 'open' | 'withdrawn';
}

export type CodePurpose = 'setUp' | 'passphrase' | 'signIn';

export interface OneTimeCode {
  readonly purpose: CodePurpose;
  /** Null for the code that makes an administrator. */
  readonly personId: string | null;
  readonly endsAt: string;
}

interface Row {
  person_id: string;
  sign_in_name: string;
  state: Account['state'];
}

const LATEST = `SELECT person_id, sign_in_name, state FROM account_changes
  JOIN (SELECT max(n) AS latest FROM account_changes GROUP BY person_id) ON latest = n`;

export class AccountTable {
  private readonly sql: Prepare;

  constructor(sql: Prepare) {
    this.sql = sql;
  }

  of(personId: string): Account | null {
    const row = this.sql(
      'SELECT person_id, sign_in_name, state FROM account_changes WHERE person_id = ? ORDER BY n DESC LIMIT 1',
    ).get(personId) as Row | undefined;
    return row ? accountOf(row) : null;
  }

  /** By the name it is signed in to, or the person's id. */
  named(name: string): Account | null {
    const row = this.sql(`${LATEST} WHERE sign_in_name = ? OR person_id = ? LIMIT 1`).get(name, name) as
      | Row
      | undefined;
    return row ? accountOf(row) : null;
  }

  all(): Account[] {
    return (this.sql(LATEST).all() as Row[]).map(accountOf);
  }

  change({ personId, signInName, state }: Account, at: string): void {
    this.sql('INSERT INTO account_changes (person_id, at, sign_in_name, state) VALUES (?, ?, ?, ?)').run(
      personId,
      at,
      signInName,
      state,
    );
  }

  /** A new code of a person and purpose takes the place of an earlier one. */
  addCode(hash: string, { purpose, personId, endsAt }: OneTimeCode, at: string): void {
    this.sql('DELETE FROM one_time_codes WHERE purpose = ? AND person_id IS ?').run(purpose, personId);
    this.sql('INSERT INTO one_time_codes (hash, purpose, person_id, at, ends_at) VALUES (?, ?, ?, ?, ?)').run(
      hash,
      purpose,
      personId,
      at,
      endsAt,
    );
  }

  code(hash: string): OneTimeCode | null {
    const row = this.sql('SELECT purpose, person_id, ends_at FROM one_time_codes WHERE hash = ?').get(hash) as
      | { purpose: CodePurpose; person_id: string | null; ends_at: string }
      | undefined;
    return row ? { purpose: row.purpose, personId: row.person_id, endsAt: row.ends_at } : null;
  }

  /** When the code ends that waits for a person; null where none does. */
  waiting(personId: string, purpose: CodePurpose): string | null {
    const row = this.sql('SELECT ends_at FROM one_time_codes WHERE person_id = ? AND purpose = ?').get(
      personId,
      purpose,
    ) as { ends_at: string } | undefined;
    return row?.ends_at ?? null;
  }

  /** False where it was gone already. */
  dropCode(hash: string): boolean {
    return this.sql('DELETE FROM one_time_codes WHERE hash = ?').run(hash).changes === 1;
  }

  /** Of a person, or with null those that make an administrator. */
  dropCodes(personId: string | null): void {
    this.sql('DELETE FROM one_time_codes WHERE person_id IS ?').run(personId);
  }
}

function accountOf({ person_id: personId, sign_in_name: signInName, state }: Row): Account {
  return { personId, signInName, state };
}

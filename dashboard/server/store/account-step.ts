/** Accounts, the codes that open them, sessions, and the log of what was done with them, which only grows. */
const keeps = (table: string, what: string): string => `
  CREATE TRIGGER ${table}_keep BEFORE UPDATE ON ${table}
    BEGIN SELECT RAISE(ABORT, '${what}'); END;
  CREATE TRIGGER ${table}_drop_nothing BEFORE DELETE ON ${table}
    BEGIN SELECT RAISE(ABORT, '${what}'); END;`;

export const ACCOUNT_STEP = `
  CREATE TABLE account_changes (
    n INTEGER PRIMARY KEY,
    person_id TEXT NOT NULL,
    at TEXT NOT NULL,
    sign_in_name TEXT NOT NULL,
    state TEXT NOT NULL
  ) STRICT;
  CREATE INDEX account_changes_by_person ON account_changes (person_id, n);
  ${keeps('account_changes', 'changes of accounts are append-only')}
  CREATE TABLE one_time_codes (
    hash TEXT PRIMARY KEY,
    purpose TEXT NOT NULL,
    person_id TEXT,
    at TEXT NOT NULL,
    ends_at TEXT NOT NULL
  ) STRICT;
  CREATE TABLE sessions (
    token_hash TEXT PRIMARY KEY,
    id TEXT NOT NULL UNIQUE,
    person_id TEXT NOT NULL,
    how TEXT NOT NULL,
    address TEXT NOT NULL,
    device TEXT NOT NULL,
    started_at TEXT NOT NULL,
    acted_at TEXT NOT NULL,
    ends_at TEXT NOT NULL
  ) STRICT;
  CREATE INDEX sessions_by_person ON sessions (person_id);
  CREATE TABLE audit (
    number INTEGER PRIMARY KEY,
    at TEXT NOT NULL,
    what TEXT NOT NULL,
    person TEXT, by TEXT, address TEXT, detail TEXT,
    prev TEXT NOT NULL,
    hash TEXT NOT NULL UNIQUE
  ) STRICT;
  ${keeps('audit', 'the log of accounts is append-only')}
`;

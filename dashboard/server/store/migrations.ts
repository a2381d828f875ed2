import { ACCOUNT_STEP } from './account-step.ts';
import { JOINT_LIST_STEP } from './joint-list-step.ts';
import { ORIGIN_STEP } from './origin-step.ts';
import { PACKED_HASH_STEP } from './packed-hash-step.ts';
import { STRETCH_INDEX_STEP } from './stretch-index-step.ts';
import { STRETCH_STEP } from './stretch-step.ts';

/**
 * The store's layouts, in order; `user_version` counts those applied. A step once released is never edited.
 * Raw records are append-only; everything else in step 1 but entries, rigs and streams is read out of them.
 */
export const MIGRATIONS: readonly string[] = [
  `
  CREATE TABLE rigs (
    site TEXT NOT NULL, rig TEXT NOT NULL,
    place INTEGER NOT NULL UNIQUE,
    first_seen TEXT NOT NULL,
    origin TEXT,
    PRIMARY KEY (site, rig)
  ) STRICT;
  CREATE TABLE streams (
    id INTEGER PRIMARY KEY,
    site TEXT NOT NULL, rig TEXT NOT NULL, stream TEXT NOT NULL,
    origin TEXT NOT NULL,
    first_seq INTEGER,
    upto INTEGER NOT NULL DEFAULT 0,
    head TEXT NOT NULL,
    last_received TEXT NOT NULL,
    UNIQUE (site, rig, stream)
  ) STRICT;
  CREATE TABLE records (
    id INTEGER PRIMARY KEY,
    stream_id INTEGER NOT NULL REFERENCES streams (id),
    seq INTEGER NOT NULL,
    prev TEXT NOT NULL, hash TEXT NOT NULL,
    origin TEXT NOT NULL,
    received_at TEXT NOT NULL,
    unreadable TEXT,
    body TEXT NOT NULL,
    UNIQUE (stream_id, seq)
  ) STRICT;
  CREATE TABLE record_conflicts (
    id INTEGER PRIMARY KEY,
    stream_id INTEGER NOT NULL REFERENCES streams (id),
    seq INTEGER NOT NULL,
    prev TEXT NOT NULL, hash TEXT NOT NULL,
    origin TEXT NOT NULL,
    received_at TEXT NOT NULL,
    body TEXT NOT NULL,
    UNIQUE (stream_id, seq, hash)
  ) STRICT;
  CREATE TABLE chunks (
    id INTEGER PRIMARY KEY,
    stream_id INTEGER NOT NULL REFERENCES streams (id),
    seq INTEGER NOT NULL,
    first_us INTEGER NOT NULL, last_us INTEGER NOT NULL, period_us REAL,
    first_utc_ms REAL NOT NULL, last_utc_ms REAL NOT NULL, utc_minus_record_ms REAL NOT NULL,
    n INTEGER NOT NULL,
    gaps TEXT NOT NULL,
    extremes TEXT NOT NULL,
    data BLOB NOT NULL,
    UNIQUE (stream_id, seq)
  ) STRICT;
  CREATE INDEX chunks_by_time ON chunks (stream_id, first_us);
  CREATE INDEX chunks_by_utc ON chunks (stream_id, first_utc_ms);
  CREATE TABLE passes (
    pass_id TEXT PRIMARY KEY,
    stream_id INTEGER NOT NULL REFERENCES streams (id),
    seq INTEGER NOT NULL,
    origin TEXT NOT NULL,
    site TEXT NOT NULL, rig TEXT NOT NULL,
    joint TEXT,
    start_utc TEXT NOT NULL, end_utc TEXT NOT NULL,
    deviations INTEGER NOT NULL,
    message TEXT NOT NULL
  ) STRICT;
  CREATE INDEX passes_by_start ON passes (start_utc, pass_id);
  CREATE INDEX passes_by_joint ON passes (origin, joint, start_utc);
  CREATE TABLE deviations (
    pass_id TEXT NOT NULL REFERENCES passes (pass_id),
    n INTEGER NOT NULL,
    origin TEXT NOT NULL,
    site TEXT NOT NULL, rig TEXT NOT NULL,
    joint TEXT, side TEXT, procedure_pass TEXT,
    at_utc TEXT NOT NULL,
    deviation TEXT NOT NULL,
    PRIMARY KEY (pass_id, n)
  ) STRICT;
  CREATE INDEX deviations_by_time ON deviations (at_utc, pass_id, n);
  CREATE TABLE events (
    id INTEGER PRIMARY KEY,
    stream_id INTEGER NOT NULL REFERENCES streams (id),
    event_id TEXT NOT NULL,
    site TEXT NOT NULL, rig TEXT NOT NULL,
    at TEXT NOT NULL, type TEXT NOT NULL,
    message TEXT NOT NULL,
    UNIQUE (stream_id, event_id)
  ) STRICT;
  CREATE INDEX events_by_time ON events (site, rig, at, id);
  CREATE TABLE procedures (
    id TEXT NOT NULL, revision INTEGER NOT NULL,
    at TEXT NOT NULL, author TEXT NOT NULL, document TEXT NOT NULL,
    PRIMARY KEY (id, revision)
  ) STRICT;
  CREATE TABLE assignments (
    n INTEGER PRIMARY KEY,
    id TEXT NOT NULL UNIQUE,
    site TEXT NOT NULL, rig TEXT NOT NULL,
    at TEXT NOT NULL, author TEXT NOT NULL,
    work TEXT
  ) STRICT;
  CREATE INDEX assignments_by_rig ON assignments (site, rig, n);
  CREATE TABLE people_changes (
    n INTEGER PRIMARY KEY,
    person_id TEXT NOT NULL,
    at TEXT NOT NULL,
    name TEXT NOT NULL,
    roles TEXT NOT NULL
  ) STRICT;
  `,
  // What people enter, append-only; the file itself refuses to change or drop a line of it.
  `
  CREATE TABLE journal (
    number INTEGER PRIMARY KEY,
    id TEXT NOT NULL UNIQUE,
    at TEXT NOT NULL,
    origin TEXT NOT NULL,
    author TEXT NOT NULL,
    shift_date TEXT NOT NULL,
    reason TEXT,
    corrects TEXT UNIQUE REFERENCES journal (id),
    kind TEXT NOT NULL,
    subject TEXT NOT NULL,
    body TEXT NOT NULL
  ) STRICT;
  CREATE INDEX journal_by_subject ON journal (subject, number);
  CREATE INDEX journal_by_kind ON journal (kind, number);
  CREATE TRIGGER journal_keeps BEFORE UPDATE ON journal
    BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END;
  CREATE TRIGGER journal_drops_nothing BEFORE DELETE ON journal
    BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END;
  CREATE TABLE judgements (
    entry_id TEXT PRIMARY KEY REFERENCES journal (id),
    answer TEXT NOT NULL
  ) STRICT;
  CREATE INDEX passes_by_rig ON passes (site, rig, start_utc);
  `,
  // Few passes count for no joint, and every rig's readiness asks for them.
  `
  CREATE INDEX passes_without_joint ON passes (start_utc, pass_id) WHERE joint IS NULL;
  `,
  // The journal chained and signed by this dashboard's key, and what people prove themselves with.
  `
  CREATE TABLE dashboard_keys (
    fingerprint TEXT PRIMARY KEY,
    public_key TEXT NOT NULL,
    since TEXT NOT NULL
  ) STRICT;
  CREATE TABLE journal_signatures (
    number INTEGER PRIMARY KEY REFERENCES journal (number),
    prev TEXT NOT NULL,
    hash TEXT NOT NULL UNIQUE,
    key TEXT NOT NULL REFERENCES dashboard_keys (fingerprint),
    signed_as TEXT NOT NULL,
    signature TEXT NOT NULL
  ) STRICT;
  CREATE TRIGGER journal_signatures_keep BEFORE UPDATE ON journal_signatures
    BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END;
  CREATE TRIGGER journal_signatures_drop_nothing BEFORE DELETE ON journal_signatures
    BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END;
  CREATE TABLE passphrases (
    n INTEGER PRIMARY KEY,
    person_id TEXT NOT NULL,
    at TEXT NOT NULL,
    hash TEXT NOT NULL
  ) STRICT;
  CREATE INDEX passphrases_by_person ON passphrases (person_id, n);
  `,
  // Records whose samples gave way on a full edge: to what, and the hash of the body that is left.
  `
  ALTER TABLE records ADD COLUMN reduced_to TEXT;
  ALTER TABLE records ADD COLUMN body_hash TEXT;
  ALTER TABLE chunks ADD COLUMN reduced TEXT;
  `,
  // Seals of passes and streams, the keys they came with, and how far each stream was checked.
  `
  CREATE TABLE seals (
    id INTEGER PRIMARY KEY,
    stream_id INTEGER NOT NULL REFERENCES streams (id),
    seq INTEGER NOT NULL, place INTEGER NOT NULL,
    document TEXT NOT NULL,
    received_at TEXT NOT NULL,
    state TEXT NOT NULL,
    problem TEXT,
    number INTEGER, kind TEXT, pass_id TEXT, hash TEXT, key_id TEXT,
    UNIQUE (stream_id, seq, place)
  ) STRICT;
  CREATE INDEX seals_waiting ON seals (stream_id, seq, place) WHERE state = 'waiting';
  CREATE INDEX seals_by_pass ON seals (pass_id) WHERE pass_id IS NOT NULL;
  CREATE INDEX passes_by_stream ON passes (stream_id, seq);
  CREATE TABLE seal_progress (
    stream_id INTEGER PRIMARY KEY REFERENCES streams (id),
    position TEXT,
    tree TEXT,
    looked_upto INTEGER,
    head_seq INTEGER NOT NULL
  ) STRICT;
  CREATE TABLE seal_keys (
    n INTEGER PRIMARY KEY,
    site TEXT NOT NULL, rig TEXT NOT NULL,
    key_id TEXT NOT NULL, public_key TEXT NOT NULL,
    state TEXT NOT NULL, how TEXT NOT NULL, since TEXT NOT NULL,
    UNIQUE (site, rig, key_id)
  ) STRICT;
  `,
  // Alarms: as they stand now, what is put away, and what was announced and done, append-only.
  `
  CREATE TABLE alarms (
    n INTEGER PRIMARY KEY AUTOINCREMENT,
    identity TEXT NOT NULL UNIQUE,
    kept TEXT NOT NULL
  ) STRICT;
  CREATE TABLE alarm_points (
    point TEXT PRIMARY KEY,
    kept TEXT NOT NULL
  ) STRICT;
  CREATE TABLE alarm_log (
    n INTEGER PRIMARY KEY AUTOINCREMENT,
    at TEXT NOT NULL,
    what TEXT NOT NULL,
    alarm INTEGER,
    site TEXT, rig TEXT, cause TEXT NOT NULL,
    about TEXT,
    by TEXT,
    reason TEXT
  ) STRICT;
  CREATE INDEX alarm_log_by_what ON alarm_log (what, at);
  CREATE TRIGGER alarm_log_keeps BEFORE UPDATE ON alarm_log
    BEGIN SELECT RAISE(ABORT, 'the log of alarms is append-only'); END;
  CREATE TRIGGER alarm_log_drops_nothing BEFORE DELETE ON alarm_log
    BEGIN SELECT RAISE(ABORT, 'the log of alarms is append-only'); END;
  `,
  // Who took over a rig's new key that the old one had not announced, and why.
  `
  ALTER TABLE seal_keys ADD COLUMN decided_by TEXT;
  ALTER TABLE seal_keys ADD COLUMN reason TEXT;
  `,
  // How record time reads on each edge's wall clock.
  `
  CREATE TABLE clock_map (
    stream_id INTEGER NOT NULL REFERENCES streams (id),
    record_us INTEGER NOT NULL,
    cause TEXT NOT NULL,
    utc_minus_record_ms REAL NOT NULL,
    state TEXT NOT NULL,
    offset_ms REAL,
    PRIMARY KEY (stream_id, record_us)
  ) STRICT;
  `,
  // Samples a person let go to make room: when, how old, what stayed, and the backup that holds them.
  `
  CREATE TABLE prunings (
    n INTEGER PRIMARY KEY,
    at TEXT NOT NULL,
    before TEXT NOT NULL,
    kept TEXT NOT NULL,
    records INTEGER NOT NULL,
    bytes INTEGER NOT NULL,
    backup TEXT
  ) STRICT;
  CREATE TRIGGER prunings_keep BEFORE UPDATE ON prunings
    BEGIN SELECT RAISE(ABORT, 'what was let go stays written down'); END;
  CREATE TRIGGER prunings_drop_nothing BEFORE DELETE ON prunings
    BEGIN SELECT RAISE(ABORT, 'what was let go stays written down'); END;
  `,
  JOINT_LIST_STEP,
  STRETCH_STEP,
  ACCOUNT_STEP,
  ORIGIN_STEP,
  PACKED_HASH_STEP,
  STRETCH_INDEX_STEP,
];

export const LAYOUT = MIGRATIONS.length;

/**
 * A stretch: samples of many settled records of one stream, in few bytes, with summaries of them (stretch.ts).
 * `records.settled` names the stretch that holds a record's samples; 0: looked at, and kept whole as it came.
 * A settled record's `body` is empty where its text lies in the stretch too, and its `prev` where the record
 * before says it. `data` is null once the samples were let go: the summaries stay.
 */
export const STRETCH_STEP = `
  ALTER TABLE records ADD COLUMN settled INTEGER;
  CREATE TABLE stretches (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    stream_id INTEGER NOT NULL REFERENCES streams (id),
    first_seq INTEGER NOT NULL, last_seq INTEGER NOT NULL,
    first_us INTEGER NOT NULL, last_us INTEGER NOT NULL, period_us REAL,
    first_utc_ms REAL NOT NULL, last_utc_ms REAL NOT NULL,
    n INTEGER NOT NULL,
    gaps TEXT NOT NULL,
    wall TEXT NOT NULL,
    extremes TEXT NOT NULL,
    zoom BLOB NOT NULL,
    texts BLOB,
    data BLOB,
    UNIQUE (stream_id, first_seq)
  ) STRICT;
  CREATE INDEX stretches_by_time ON stretches (stream_id, first_us);
  CREATE INDEX stretches_by_utc ON stretches (stream_id, first_utc_ms);
`;

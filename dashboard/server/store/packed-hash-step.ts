/**
 * A record's hash as the 32 bytes it is, and when it came as ms UTC: beside settled samples their letters were a fifth
 * of the store. `hash` is read as before; what is no hash stays what it was, and fits its text no more than it did.
 */
export const PACKED_HASH_STEP = `
  CREATE TABLE packed_records (
    id INTEGER PRIMARY KEY,
    stream_id INTEGER NOT NULL REFERENCES streams (id),
    seq INTEGER NOT NULL,
    prev TEXT NOT NULL,
    hash_bytes BLOB NOT NULL,
    hash TEXT GENERATED ALWAYS AS (lower(hex(hash_bytes))) VIRTUAL,
    origin TEXT NOT NULL,
    received_ms INTEGER NOT NULL,
    unreadable TEXT,
    body TEXT NOT NULL,
    reduced_to TEXT, body_hash TEXT,
    settled INTEGER,
    UNIQUE (stream_id, seq)
  ) STRICT;
  INSERT INTO packed_records (id, stream_id, seq, prev, hash_bytes, origin, received_ms, unreadable, body,
      reduced_to, body_hash, settled)
    SELECT id, stream_id, seq, prev, coalesce(unhex(hash), CAST(hash AS BLOB)), origin,
      CAST(round(unixepoch(received_at, 'subsec') * 1000) AS INTEGER), unreadable, body,
      reduced_to, body_hash, settled
    FROM records ORDER BY id;
  DROP TABLE records;
  ALTER TABLE packed_records RENAME TO records;
`;

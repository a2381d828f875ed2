/** Tables of the fleet's record store, in a schema of their own; described for people in docs/fleet.md. */
import type { ClientBase } from 'pg';
import { EXIT, ProgramError } from '#core/program/program-error';

/** Step n brings layout n − 1 to n. A step that has been released is never changed. */
const MIGRATIONS: readonly string[] = [
  `
  CREATE TABLE girthlog.streams (
    id bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    site text NOT NULL,
    rig text NOT NULL,
    stream text NOT NULL,
    origin text NOT NULL,
    first_seq bigint,
    upto bigint NOT NULL DEFAULT 0,
    head text NOT NULL,
    last_received timestamptz NOT NULL,
    UNIQUE (site, rig, stream)
  );
  CREATE TABLE girthlog.records (
    stream_id bigint NOT NULL REFERENCES girthlog.streams (id),
    seq bigint NOT NULL,
    prev text NOT NULL,
    hash text NOT NULL,
    origin text NOT NULL,
    received_at timestamptz NOT NULL,
    unreadable text,
    reduced_to text,
    body_hash text,
    body bytea NOT NULL,
    PRIMARY KEY (stream_id, seq)
  );
  CREATE TABLE girthlog.record_conflicts (
    stream_id bigint NOT NULL REFERENCES girthlog.streams (id),
    seq bigint NOT NULL,
    hash text NOT NULL,
    prev text NOT NULL,
    origin text NOT NULL,
    received_at timestamptz NOT NULL,
    body bytea NOT NULL,
    PRIMARY KEY (stream_id, seq, hash)
  );
  CREATE TABLE girthlog.passes (
    pass_id text PRIMARY KEY,
    stream_id bigint NOT NULL REFERENCES girthlog.streams (id),
    seq bigint NOT NULL,
    origin text NOT NULL,
    site text NOT NULL,
    rig text NOT NULL,
    joint text,
    side text,
    procedure_pass text,
    state text NOT NULL,
    start_utc timestamptz NOT NULL,
    end_utc timestamptz,
    heat_input_kj_mm double precision,
    deviations integer NOT NULL,
    message jsonb NOT NULL
  );
  CREATE INDEX passes_joint ON girthlog.passes (joint, start_utc);
  CREATE INDEX passes_rig ON girthlog.passes (site, rig, start_utc);
  CREATE TABLE girthlog.deviations (
    pass_id text NOT NULL REFERENCES girthlog.passes (pass_id),
    n integer NOT NULL,
    quantity text NOT NULL,
    state text NOT NULL,
    at_utc timestamptz NOT NULL,
    deviation jsonb NOT NULL,
    PRIMARY KEY (pass_id, n)
  );
  CREATE TABLE girthlog.events (
    stream_id bigint NOT NULL REFERENCES girthlog.streams (id),
    event_id text NOT NULL,
    site text NOT NULL,
    rig text NOT NULL,
    at timestamptz NOT NULL,
    type text NOT NULL,
    message jsonb NOT NULL,
    PRIMARY KEY (stream_id, event_id)
  );
  CREATE INDEX events_at ON girthlog.events (at);
  CREATE TABLE girthlog.sample_cursors (
    target text NOT NULL,
    stream_id bigint NOT NULL REFERENCES girthlog.streams (id),
    seq bigint NOT NULL,
    turns bigint[] NOT NULL DEFAULT '{}',
    PRIMARY KEY (target, stream_id)
  );
  CREATE TABLE girthlog.rejected_points (
    id bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    target text NOT NULL,
    stream_id bigint NOT NULL REFERENCES girthlog.streams (id),
    seq bigint NOT NULL,
    at timestamptz NOT NULL,
    point text NOT NULL,
    reason text NOT NULL
  );
  `,
];
export const POSTGRES_LAYOUT = MIGRATIONS.length;

/** "girthlog" as a number: whoever starts second waits until the tables are made. */
const LOCK = 4_713_010_714;

/** Brings the schema to POSTGRES_LAYOUT in one transaction; returns the steps taken. Throws ProgramError on a newer one. */
export async function prepareLayout(client: ClientBase): Promise<number> {
  await client.query('BEGIN');
  try {
    await client.query('SELECT pg_advisory_xact_lock($1)', [LOCK]);
    const found = await foundLayout(client);
    if (found > POSTGRES_LAYOUT) {
      throw new ProgramError(
        `The database was prepared by a newer Girthlog (layout ${found}, this program knows ${POSTGRES_LAYOUT}): ` +
          'use that version.',
        EXIT.configuration,
      );
    }
    for (let step = found; step < POSTGRES_LAYOUT; step++) {
      await client.query(MIGRATIONS[step]!);
      await client.query('INSERT INTO girthlog.layout (step) VALUES ($1)', [step + 1]);
    }
    await client.query('COMMIT');
    return POSTGRES_LAYOUT - found;
  } catch (error) {
    await client.query('ROLLBACK').catch(() => undefined);
    throw error;
  }
}

/** 0 where nothing of ours is; a role that may not create anything is asked for nothing once all is there. */
async function foundLayout(client: ClientBase): Promise<number> {
  const { rows: there } = await client.query("SELECT to_regclass('girthlog.layout') IS NOT NULL AS yes");
  if (!there[0].yes) {
    await client.query('CREATE SCHEMA IF NOT EXISTS girthlog');
    await client.query(
      'CREATE TABLE girthlog.layout (step integer PRIMARY KEY, at timestamptz NOT NULL DEFAULT now())',
    );
  }
  const { rows } = await client.query('SELECT coalesce(max(step), 0) AS step FROM girthlog.layout');
  return rows[0].step as number;
}

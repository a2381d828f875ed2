/** Passes, deviations and events of stored records as rows that people can query; the records stay the truth. */
import type { ClientBase } from 'pg';
import type { PassMessage } from '#core/messages/pass';
import { deviationStart, isOwnPass } from '../store/read-record.ts';
import type { VerifiedRecord } from '../store/store.ts';

interface Placed {
  readonly record: VerifiedRecord;
  readonly streamId: string;
}

/** Ids of the passes that were left out, since they name another rig or stream, or an existing pass of one. */
export async function writeContents(client: ClientBase, stored: readonly Placed[]): Promise<string[]> {
  await writeEvents(client, stored);
  const foreign: string[] = [];
  for (const { record, streamId } of stored) {
    for (const pass of record.body?.passes ?? []) {
      const isOurs =
        isOwnPass(record, pass) && (await upsertPass(client, streamId, record.message.seq, pass));
      if (!isOurs) foreign.push(pass.passId);
    }
  }
  return foreign;
}

async function writeEvents(client: ClientBase, stored: readonly Placed[]): Promise<void> {
  const rows = stored.flatMap(({ record: { site, rig, body }, streamId }) =>
    (body?.events ?? []).map(event => ({ streamId, site, rig, event })),
  );
  if (rows.length === 0) return;
  await client.query(
    `INSERT INTO girthlog.events (stream_id, event_id, site, rig, at, type, message)
     SELECT * FROM unnest($1::bigint[], $2::text[], $3::text[], $4::text[], $5::timestamptz[], $6::text[], $7::jsonb[])
     ON CONFLICT (stream_id, event_id) DO NOTHING`,
    [
      rows.map(({ streamId }) => streamId),
      rows.map(({ event }) => asText(event.id)),
      rows.map(({ site }) => site),
      rows.map(({ rig }) => rig),
      rows.map(({ event }) => event.at),
      rows.map(({ event }) => event.type),
      rows.map(({ event }) => asJson(event)),
    ],
  );
}

/** The version in the later record stands; false when the id belongs to another stream's pass. */
async function upsertPass(
  client: ClientBase,
  streamId: string,
  seq: number,
  pass: PassMessage,
): Promise<boolean> {
  const { passId, origin, site, rig, joint, side, state, startUtc, endUtc, deviations } = pass;
  const { rows } = await client.query(
    `INSERT INTO girthlog.passes (pass_id, stream_id, seq, origin, site, rig, joint, side, procedure_pass, state,
       start_utc, end_utc, heat_input_kj_mm, deviations, message)
     VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15)
     ON CONFLICT (pass_id) DO UPDATE SET seq = excluded.seq, joint = excluded.joint, side = excluded.side,
       procedure_pass = excluded.procedure_pass, state = excluded.state, start_utc = excluded.start_utc,
       end_utc = excluded.end_utc, heat_input_kj_mm = excluded.heat_input_kj_mm,
       deviations = excluded.deviations, message = excluded.message
     WHERE passes.stream_id = excluded.stream_id AND passes.seq <= excluded.seq RETURNING 1`,
    [
      asText(passId),
      ...[streamId, seq, origin, site, rig],
      asText(joint),
      side,
      asText(pass.pass.procedurePass),
      ...[state, startUtc, endUtc, pass.pass.heatInputKjMm, deviations.length],
      asJson(pass),
    ],
  );
  if (rows.length === 0) {
    const kept = await client.query('SELECT stream_id FROM girthlog.passes WHERE pass_id = $1', [
      asText(passId),
    ]);
    return kept.rows[0]?.stream_id === streamId;
  }
  await client.query('DELETE FROM girthlog.deviations WHERE pass_id = $1', [asText(passId)]);
  if (deviations.length === 0) return true;
  await client.query(
    `INSERT INTO girthlog.deviations (pass_id, n, quantity, state, at_utc, deviation)
     SELECT $1, t.n - 1, t.quantity, t.state, t.at, t.deviation
     FROM unnest($2::text[], $3::text[], $4::timestamptz[], $5::jsonb[])
       WITH ORDINALITY AS t (quantity, state, at, deviation, n)`,
    [
      asText(passId),
      deviations.map(({ quantity }) => quantity),
      deviations.map(({ state: one }) => one),
      deviations.map(deviation => deviationStart(deviation, pass)),
      deviations.map(asJson),
    ],
  );
  return true;
}

/** The database's text holds neither NUL nor half a character; the record, which is bytes, keeps what was said. */
function asText<T extends string | null>(text: T): T {
  return (text === null ? null : text.replaceAll('\0', '\uFFFD').replace(/\p{Surrogate}/gu, '\uFFFD')) as T;
}

function asJson(value: unknown): string {
  return JSON.stringify(value, (_, one) => (typeof one === 'string' ? asText(one) : one));
}

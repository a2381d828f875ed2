/** Reads the fleet's database from outside, as an auditor would. */
import { queryPostgres } from '../../support/postgres.ts';
import type { KeptBatch, TruckStore } from './stores.ts';

interface StreamRow {
  readonly id: string;
  readonly site: string;
  readonly rig: string;
  readonly stream: string;
  readonly upto: string;
  readonly unreadable: string;
}

/** The same picture as of a truck's store. */
export async function readFleetStore(url: string): Promise<TruckStore> {
  const rows = await queryPostgres<StreamRow>(
    url,
    `SELECT s.*, (SELECT count(*) FROM girthlog.records r WHERE r.stream_id = s.id AND r.unreadable IS NOT NULL)
       AS unreadable FROM girthlog.streams s`,
  );
  const streams = await Promise.all(
    rows.map(async ({ id, site, rig, stream, upto, unreadable }) => {
      const records = await queryPostgres<KeptBatch & { seq: string }>(
        url,
        `SELECT seq, prev, hash, convert_from(body, 'UTF8') AS body, reduced_to, body_hash
         FROM girthlog.records WHERE stream_id = $1 ORDER BY seq`,
        [id],
      );
      return {
        ...{ site, rig, stream },
        upto: Number(upto),
        unreadable: Number(unreadable),
        records: records.map(record => ({ ...record, seq: Number(record.seq) })),
      };
    }),
  );
  const [conflicts] = await queryPostgres<{ n: number }>(
    url,
    'SELECT count(*)::int AS n FROM girthlog.record_conflicts',
  );
  return { streams, conflicts: conflicts!.n };
}

/** How far each rig's records are committed, by rig; nothing before there are tables, or while the database is away. */
export async function fleetMarks(ask: (sql: string) => Promise<unknown[]>): Promise<Map<string, number>> {
  const rows = await ask('SELECT rig, upto FROM girthlog.streams').catch(() => []);
  return new Map((rows as { rig: string; upto: string }[]).map(({ rig, upto }) => [rig, Number(upto)]));
}

/** How record time of each stream reads on its edge's wall clock, row by row as the edge recorded it. */
import type { ClockMapRow } from '#core/messages/clock-map';
import type { RigAddress } from '#core/topics/topics';
import type { Prepare } from './statements.ts';

export class ClockMapTable {
  private readonly sql: Prepare;

  constructor(sql: Prepare) {
    this.sql = sql;
  }

  keep(streamId: number, rows: readonly ClockMapRow[]): void {
    const insert = this.sql(
      `INSERT INTO clock_map (stream_id, record_us, cause, utc_minus_record_ms, state, offset_ms)
         VALUES (?, ?, ?, ?, ?, ?) ON CONFLICT (stream_id, record_us) DO NOTHING`,
    );
    for (const { recordUs, cause, utcMinusRecordMs, state, offsetMs } of rows) {
      insert.run(streamId, recordUs, cause, utcMinusRecordMs, state, offsetMs);
    }
  }

  /** Rows after `recordUs` that can date it: the next start of the edge or synced clock, whichever is first. */
  after({ site, rig }: RigAddress, stream: string, recordUs: number): ClockMapRow[] {
    return this.sql(
      `SELECT cause, record_us AS recordUs, utc_minus_record_ms AS utcMinusRecordMs, state, offset_ms AS offsetMs
         FROM clock_map WHERE stream_id = (SELECT id FROM streams WHERE site = ? AND rig = ? AND stream = ?)
         AND record_us > ? AND (cause = 'start' OR state = 'synced') ORDER BY record_us LIMIT 1`,
    ).all(site, rig, stream, recordUs) as ClockMapRow[];
  }
}

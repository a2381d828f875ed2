import type { Origin } from '#core/messages/common';
import type { RigAddress } from '#core/topics/topics';
import type { Prepare } from './statements.ts';
import type { RigRow } from './store.ts';

/** Rigs and their places on the live view: the order in which they were first seen, kept for good. */
export class RigTable {
  private readonly sql: Prepare;

  constructor(sql: Prepare) {
    this.sql = sql;
  }

  all(): RigRow[] {
    return this.sql('SELECT site, rig, place, origin FROM rigs ORDER BY place').all() as RigRow[];
  }

  ensure({ site, rig }: RigAddress, seenAt: string, maxRigs: number): RigRow | null {
    this.sql(
      `INSERT INTO rigs (site, rig, place, first_seen)
       SELECT ?, ?, coalesce(max(place) + 1, 0), ? FROM rigs HAVING count(*) < ?
       ON CONFLICT (site, rig) DO NOTHING`,
    ).run(site, rig, seenAt, maxRigs);
    const row = this.sql('SELECT site, rig, place, origin FROM rigs WHERE site = ? AND rig = ?').get(
      site,
      rig,
    );
    return (row as RigRow | undefined) ?? null;
  }

  setOrigin({ site, rig }: RigAddress, origin: Origin): void {
    this.sql('UPDATE rigs SET origin = ? WHERE site = ? AND rig = ?').run(origin, site, rig);
  }
}

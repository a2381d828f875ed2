/** Passes, deviations, events and joints as they were read out of the records. */
import type { Joint } from '#core/messages/api';
import type { JointDetail } from '#core/messages/api-lists';
import type { Origin } from '#core/messages/common';
import type { RigEvent } from '#core/messages/event';
import type { PassMessage } from '#core/messages/pass';
import type { RigAddress } from '#core/topics/topics';
import { pageOf, where } from './page.ts';
import type { Prepare } from './statements.ts';
import type { BegunFilter, DeviationRow, EventFilter, LightPass, Page, PassFilter } from './store.ts';

interface JointRow {
  joint: string;
  first_utc: string;
  last_utc: string;
  passes: number;
  deviations: number;
}

export class PassTable {
  private readonly sql: Prepare;

  constructor(sql: Prepare) {
    this.sql = sql;
  }

  pass(passId: string): PassMessage | null {
    const row = this.sql('SELECT message FROM passes WHERE pass_id = ?').get(passId) as
      | { message: string }
      | undefined;
    return row ? JSON.parse(row.message) : null;
  }

  passes(filter: PassFilter): Page<PassMessage> {
    const { joint, site, rig, origin, limit, before } = filter;
    const { clause, values } = where(
      { joint, site, rig, origin },
      '(start_utc, pass_id) < (?, ?)',
      before,
      2,
    );
    const rows = this.sql(
      `SELECT start_utc, pass_id, message FROM passes ${clause} ORDER BY ${byStart(joint)} DESC, pass_id DESC LIMIT ?`,
    ).all(...values, limit + 1) as { start_utc: string; pass_id: string; message: string }[];
    return pageOf(
      rows,
      limit,
      row => [row.start_utc, row.pass_id],
      row => JSON.parse(row.message) as PassMessage,
    );
  }

  begun({ origin, joint, site, rig, fromUtc, toUtc }: BegunFilter): LightPass[] {
    // Without a joint the time of the start picks the rows: "+" keeps origin from being taken for the better index.
    const { clause, values } = where(
      {
        [joint === undefined ? '+origin =' : 'origin =']: origin,
        joint,
        'start_utc >=': fromUtc,
        'start_utc <': toUtc,
        site,
        rig,
      },
      '',
      undefined,
      0,
    );
    const rows = this.sql(
      `SELECT json_remove(message, '$.pass.drift', '$.pass.verdicts') AS light,
         message -> '$.pass.drift.calls' AS calls
       FROM passes ${clause} ORDER BY ${byStart(joint)}, pass_id`,
    ).all(...values) as { light: string; calls: string | null }[];
    return rows.map(({ light, calls }) => {
      const message = JSON.parse(light) as PassMessage;
      return { message: { ...message, pass: { ...message.pass, verdicts: [] } }, changes: changesIn(calls) };
    });
  }

  /** Every pass that began in the span, and the joint it was recorded under. */
  jointsBegun(origin: Origin, fromUtc: string, toUtc: string): { passId: string; joint: string | null }[] {
    return this.sql(
      `SELECT pass_id AS passId, joint FROM passes WHERE origin = ? AND start_utc >= ? AND start_utc < ?`,
    ).all(origin, fromUtc, toUtc) as { passId: string; joint: string | null }[];
  }

  originsBegun(fromUtc: string, toUtc: string, site: string | undefined): Origin[] {
    const { clause, values } = where(
      { 'start_utc >=': fromUtc, 'start_utc <': toUtc, site },
      '',
      undefined,
      0,
    );
    const rows = this.sql(`SELECT DISTINCT origin FROM passes ${clause}`).all(...values);
    return inOrder(rows as { origin: Origin }[]);
  }

  deviations(filter: PassFilter): Page<DeviationRow> {
    const { joint, site, rig, origin, limit, before } = filter;
    const { clause, values } = where(
      { joint, site, rig, origin },
      '(at_utc, pass_id, n) < (?, ?, cast(? AS INTEGER))',
      before,
      3,
    );
    const rows = this.sql(
      `SELECT * FROM deviations ${clause} ORDER BY at_utc DESC, pass_id DESC, n DESC LIMIT ?`,
    ).all(...values, limit + 1) as (Omit<DeviationRow, 'passId' | 'procedurePass' | 'atUtc' | 'deviation'> & {
      pass_id: string;
      n: number;
      procedure_pass: string | null;
      at_utc: string;
      deviation: string;
    })[];
    return pageOf(
      rows,
      limit,
      row => [row.at_utc, row.pass_id, String(row.n)],
      row => ({
        origin: row.origin,
        site: row.site,
        rig: row.rig,
        passId: row.pass_id,
        joint: row.joint,
        side: row.side,
        procedurePass: row.procedure_pass,
        atUtc: row.at_utc,
        deviation: JSON.parse(row.deviation),
      }),
    );
  }

  events(filter: EventFilter): Page<RigAddress & { readonly event: RigEvent }> {
    const { site, rig, type, fromUtc, toUtc, limit, before } = filter;
    const { clause, values } = where(
      { site, rig, type, 'at >=': fromUtc, 'at <=': toUtc },
      '(at, id) < (?, cast(? AS INTEGER))',
      before,
      2,
    );
    const rows = this.sql(
      `SELECT id, site, rig, at, message FROM events ${clause} ORDER BY at DESC, id DESC LIMIT ?`,
    ).all(...values, limit + 1) as { id: number; site: string; rig: string; at: string; message: string }[];
    return pageOf(
      rows,
      limit,
      row => [row.at, String(row.id)],
      row => ({ site: row.site, rig: row.rig, event: JSON.parse(row.message) as RigEvent }),
    );
  }

  origins(joint: string | undefined): Origin[] {
    // Origin leads the index: asked one by one, each answer is one step into it, however many passes there are.
    const holds = joint === undefined ? 'joint IS NOT NULL' : 'joint = ?';
    const any = this.sql(`SELECT EXISTS (SELECT 1 FROM passes WHERE origin = ? AND ${holds}) AS found`);
    return ORIGINS.filter(origin => {
      const { found } = any.get(origin, ...(joint === undefined ? [] : [joint])) as { found: 0 | 1 };
      return found === 1;
    });
  }

  joints(origin: Origin, limit: number, before: string | undefined): Page<Joint> {
    const page = where({}, '(last_utc, joint) < (?, ?)', before, 2);
    const rows = this.sql(
      `SELECT * FROM (
         SELECT joint, min(start_utc) AS first_utc, max(end_utc) AS last_utc, count(*) AS passes,
           sum(deviations) AS deviations
         FROM passes WHERE origin = ? AND joint IS NOT NULL GROUP BY joint
       ) ${page.clause} ORDER BY last_utc DESC, joint DESC LIMIT ?`,
    ).all(origin, ...page.values, limit + 1) as JointRow[];
    return pageOf(
      rows,
      limit,
      row => [row.last_utc, row.joint],
      row => jointOf(row, origin),
    );
  }

  jointsByProcedure(id: string, revision: number): { joint: string; origin: Origin; lastUtc: string }[] {
    return this.sql(
      `SELECT joint, origin, max(end_utc) AS lastUtc FROM passes
       WHERE joint IS NOT NULL AND message ->> 'procedureId' = ? AND message ->> 'procedureRevision' = ?
       GROUP BY joint, origin`,
    ).all(id, revision) as { joint: string; origin: Origin; lastUtc: string }[];
  }

  /** Newest first, without those in `but`. */
  withoutJoint(limit: number, but: readonly string[] = []): PassMessage[] {
    const rows = this.sql(
      `SELECT message FROM passes WHERE joint IS NULL AND pass_id NOT IN (SELECT value FROM json_each(?))
       ORDER BY start_utc DESC, pass_id DESC LIMIT ?`,
    ).all(JSON.stringify(but), limit) as { message: string }[];
    return rows.map(({ message }) => JSON.parse(message) as PassMessage);
  }

  joint(joint: string, origin: Origin): JointDetail | null {
    const row = this.sql(
      `SELECT joint, min(start_utc) AS first_utc, max(end_utc) AS last_utc, count(*) AS passes,
         sum(deviations) AS deviations
       FROM passes WHERE origin = ? AND joint = ? GROUP BY joint`,
    ).get(origin, joint) as JointRow | undefined;
    if (!row) return null;
    const passes = this.sql(
      `SELECT message FROM passes WHERE origin = ? AND joint = ? ORDER BY ${byStart(joint)}, pass_id`,
    ).all(origin, joint) as { message: string }[];
    return { joint: jointOf(row, origin), passes: passes.map(({ message }) => JSON.parse(message)) };
  }
}

/**
 * A joint has few passes: they are found by its name and sorted. Without "+" an index that has them in order already is
 * taken for the better one, and every pass of the origin is looked at.
 */
function byStart(joint: string | undefined): string {
  return joint === undefined ? 'start_utc' : '+start_utc';
}

/** As they are shown: what is real first. */
const ORIGINS: readonly Origin[] = ['real', 'simulated', 'replay'];

function inOrder(rows: readonly { readonly origin: Origin }[]): Origin[] {
  const found = new Set(rows.map(row => row.origin));
  return ORIGINS.filter(origin => found.has(origin));
}

/** Most passes have none, and nothing is read of them. */
function changesIn(calls: string | null): number {
  if (calls === null || calls === '[]') return 0;
  return (JSON.parse(calls) as { rule: string }[]).filter(({ rule }) => rule !== 'trim').length;
}

function jointOf(row: JointRow, origin: Origin): Joint {
  return {
    joint: row.joint,
    firstUtc: row.first_utc,
    lastUtc: row.last_utc,
    passes: row.passes,
    deviations: row.deviations,
    origin,
  };
}

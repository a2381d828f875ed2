/** Rows of the joint list as they are kept, and which of them are to be made again. */

import type { Decision } from '#core/journal/decisions';
import type { JointSummary } from '#core/messages/api-journal';
import type { Origin } from '#core/messages/common';
import { pageOf, where } from './page.ts';
import type { Prepare } from './statements.ts';
import type { Page } from './store.ts';

export interface JointListFilter {
  /** In the number or the station; capitals and blanks do not matter. */
  readonly find?: string | undefined;
  readonly station?: string | undefined;
  /** "site/rig". */
  readonly rig?: string | undefined;
  readonly procedureId?: string | undefined;
  readonly procedureRevision?: number | undefined;
  readonly origin?: Origin | undefined;
  readonly deviations?: 'yes' | 'no' | undefined;
  readonly disposition?: Decision | 'none' | undefined;
  readonly incomplete?: 'yes' | 'no' | undefined;
  /** With an arc in the span: `fromUtc` ≤ last arc, first arc < `toUtc`. */
  readonly fromUtc?: string | undefined;
  readonly toUtc?: string | undefined;
  readonly limit: number;
  readonly before?: string | undefined;
}

interface Row {
  joint: string;
  last_utc: string;
  summary: string;
}

/** How what is typed is compared. */
export const plainText = (words: string): string => words.toLowerCase().replace(/\s+/g, '');

export class JointListTable {
  private readonly sql: Prepare;
  private readonly together: (work: () => void) => void;

  constructor(sql: Prepare, together: (work: () => void) => void) {
    this.sql = sql;
    this.together = together;
  }

  /** Joints whose row is to be made, the newest first. */
  stale(limit: number): string[] {
    const rows = this.sql('SELECT joint FROM joint_list_stale ORDER BY n DESC LIMIT ?').all(limit);
    return (rows as { joint: string }[]).map(({ joint }) => joint);
  }

  staleCount(): number {
    return (this.sql('SELECT count(*) AS n FROM joint_list_stale').get() as { n: number }).n;
  }

  /** Keeps rows and takes their marks away; a null row: nothing is known of the joint. */
  put(rows: readonly (readonly [joint: string, row: JointSummary | null])[]): void {
    this.together(() => {
      for (const [joint, row] of rows) {
        this.sql('DELETE FROM joint_list_stale WHERE joint = ?').run(joint);
        if (row) this.keep(row);
        else this.sql('DELETE FROM joint_list WHERE joint = ?').run(joint);
      }
    });
  }

  private keep(row: JointSummary): void {
    const { joint, origin, lastUtc, firstArcUtc, lastArcUtc, station, rigs, procedure } = row;
    this.sql(
      `INSERT OR REPLACE INTO joint_list (joint, origin, last_utc, first_arc, last_arc, search, station, rigs,
         procedure_id, procedure_revision, deviations, disposition, incomplete, summary)
       VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
    ).run(
      joint,
      origin,
      lastUtc ?? '',
      firstArcUtc,
      lastArcUtc,
      plainText(`${joint} ${station ?? ''}`),
      plainText(station ?? ''),
      ` ${rigs.join(' ')} `,
      procedure?.id ?? null,
      procedure?.revision ?? null,
      row.deviations ?? 0,
      row.disposition,
      row.complete === true && row.missing.length === 0 ? 0 : 1,
      JSON.stringify(row),
    );
  }

  /** Newest word or work first. */
  page(filter: JointListFilter): Page<JointSummary> {
    const { find, station, rig, procedureId, procedureRevision, origin, limit, before } = filter;
    const { deviations, disposition, incomplete, fromUtc, toUtc } = filter;
    const conditions: [string, ...(string | number)[]][] = [];
    const ask = (condition: string, ...values: readonly (string | number | undefined)[]): void => {
      if (!values.includes(undefined)) conditions.push([condition, ...(values as (string | number)[])]);
    };
    const typed = (words: string | undefined): string | undefined => plainText(words ?? '') || undefined;
    ask('origin = ?', origin);
    ask('procedure_id = ?', procedureId);
    ask('procedure_revision = ?', procedureRevision);
    ask('last_arc >= ?', fromUtc);
    ask('first_arc < ?', toUtc);
    ask('instr(search, ?) > 0', typed(find));
    ask('instr(station, ?) > 0', typed(station));
    ask('instr(rigs, ?) > 0', rig === undefined ? undefined : ` ${rig} `);
    ask('(deviations > 0) = ?', deviations === undefined ? undefined : Number(deviations === 'yes'));
    ask('incomplete = ?', incomplete === undefined ? undefined : Number(incomplete === 'yes'));
    ask("coalesce(disposition, 'none') = ?", disposition);
    const cursor = where({}, '(last_utc, joint) < (?, ?)', before, 2);
    if (before !== undefined) ask('(last_utc, joint) < (?, ?)', ...cursor.values);
    const clause = conditions.length === 0 ? '' : `WHERE ${conditions.map(([one]) => one).join(' AND ')}`;
    const rows = this.sql(
      `SELECT joint, last_utc, summary FROM joint_list ${clause}
       ORDER BY last_utc DESC, joint DESC LIMIT ?`,
    ).all(...conditions.flatMap(([, ...values]) => values), limit + 1) as Row[];
    return pageOf(
      rows,
      limit,
      row => [row.last_utc, row.joint],
      row => JSON.parse(row.summary) as JointSummary,
    );
  }
}

/** What people enter: procedures, assignments, people. Nothing here is ever changed or deleted. */
import type { Person } from '#core/messages/api';
import type { ProcedureEntry } from '#core/messages/api-lists';
import type { Procedure } from '#core/procedure/procedure';
import type { RigAddress } from '#core/topics/topics';
import { pageOf, where } from './page.ts';
import type { Prepare } from './statements.ts';
import type { Page, StoredAssignment } from './store.ts';

interface AssignmentRow {
  n: number;
  id: string;
  site: string;
  rig: string;
  at: string;
  author: string;
  work: string | null;
}

interface ProcedureRow {
  at: string;
  author: string;
  document: string;
}

export class EntryTable {
  private readonly sql: Prepare;

  constructor(sql: Prepare) {
    this.sql = sql;
  }

  procedures(): ProcedureEntry[] {
    const rows = this.sql('SELECT at, author, document FROM procedures ORDER BY id, revision').all();
    return (rows as ProcedureRow[]).map(procedureOf);
  }

  procedure(id: string, revision: number): ProcedureEntry | null {
    const row = this.sql('SELECT at, author, document FROM procedures WHERE id = ? AND revision = ?').get(
      id,
      revision,
    ) as ProcedureRow | undefined;
    return row ? procedureOf(row) : null;
  }

  addProcedure(procedure: Procedure, at: string, author: string): boolean {
    const added = this.sql(
      `INSERT INTO procedures (id, revision, at, author, document) VALUES (?, ?, ?, ?, ?)
       ON CONFLICT (id, revision) DO NOTHING`,
    ).run(procedure.id, procedure.revision, at, author, JSON.stringify(procedure));
    return added.changes === 1;
  }

  addAssignment({ id, site, rig, at, author, work }: StoredAssignment): void {
    this.sql('INSERT INTO assignments (id, site, rig, at, author, work) VALUES (?, ?, ?, ?, ?, ?)').run(
      id,
      site,
      rig,
      at,
      author,
      work && JSON.stringify(work),
    );
  }

  assignments(filter: {
    site?: string | undefined;
    rig?: string | undefined;
    limit: number;
    before?: string | undefined;
  }): Page<StoredAssignment> {
    const { site, rig, limit, before } = filter;
    const { clause, values } = where({ site, rig }, 'n < cast(? AS INTEGER)', before, 1);
    const rows = this.sql(`SELECT * FROM assignments ${clause} ORDER BY n DESC LIMIT ?`).all(
      ...values,
      limit + 1,
    ) as AssignmentRow[];
    return pageOf(rows, limit, row => [String(row.n)], assignmentOf);
  }

  assignmentsByProcedure(
    id: string,
    revision: number,
  ): (StoredAssignment & { readonly work: NonNullable<StoredAssignment['work']> })[] {
    const rows = this.sql(
      `SELECT * FROM assignments
       WHERE work ->> 'procedureId' = ? AND work ->> 'procedureRevision' = ? ORDER BY n`,
    ).all(id, revision) as AssignmentRow[];
    return rows.map(assignmentOf).flatMap(one => (one.work ? [{ ...one, work: one.work }] : []));
  }

  assignment(id: string): StoredAssignment | null {
    const row = this.sql('SELECT * FROM assignments WHERE id = ?').get(id) as AssignmentRow | undefined;
    return row ? assignmentOf(row) : null;
  }

  currentAssignment({ site, rig }: RigAddress): StoredAssignment | null {
    const row = this.sql('SELECT * FROM assignments WHERE site = ? AND rig = ? ORDER BY n DESC LIMIT 1').get(
      site,
      rig,
    ) as AssignmentRow | undefined;
    return row ? assignmentOf(row) : null;
  }

  /** The latest change of each person, in the order they were first named. */
  people(): Person[] {
    const rows = this.sql(
      `SELECT person_id, name, roles FROM people_changes
       JOIN (SELECT person_id AS id, min(n) AS first, max(n) AS latest FROM people_changes GROUP BY person_id)
         ON latest = n
       ORDER BY first`,
    ).all() as { person_id: string; name: string; roles: string }[];
    return rows.map(row => ({ id: row.person_id, name: row.name, roles: JSON.parse(row.roles) }));
  }

  addPerson(person: Person, at: string): void {
    this.sql('INSERT INTO people_changes (person_id, at, name, roles) VALUES (?, ?, ?, ?)').run(
      person.id,
      at,
      person.name,
      JSON.stringify(person.roles),
    );
  }
}

function procedureOf(row: ProcedureRow): ProcedureEntry {
  return { at: row.at, author: row.author, procedure: JSON.parse(row.document) };
}

function assignmentOf(row: AssignmentRow): StoredAssignment {
  const { id, site, rig, at, author, work } = row;
  return { id, site, rig, at, author, work: work === null ? null : JSON.parse(work) };
}

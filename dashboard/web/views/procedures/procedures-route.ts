/** Procedures: the list, one revision, its making, and two revisions beside each other. */
export type ProceduresRoute =
  | { readonly view: 'procedures' }
  | { readonly view: 'procedureNew' }
  | { readonly view: 'procedure'; readonly id: string; readonly revision: number }
  | { readonly view: 'procedureRevise'; readonly id: string; readonly revision: number }
  | { readonly view: 'procedureCompare'; readonly id: string; readonly a: number; readonly b: number };

const revisionOf = (text: string | undefined): number | null =>
  text !== undefined && /^[1-9]\d{0,8}$/.test(text) ? Number(text) : null;

/**
 * `procedures`, `procedures/new`, `procedures/{id}/{revision}[/revise]`, `procedures/{id}/compare/{a}/{b}`, already
 * decoded; null for any other path. A path of procedures that names none is the list.
 */
export function parseProceduresRoute(parts: readonly (string | undefined)[]): ProceduresRoute | null {
  const [top, id, second, third, fourth] = parts;
  if (top !== 'procedures') return null;
  if (id === undefined || id === '') return { view: 'procedures' };
  if (id === 'new' && second === undefined) return { view: 'procedureNew' };
  if (second === 'compare') {
    const [a, b] = [revisionOf(third), revisionOf(fourth)];
    return a === null || b === null ? { view: 'procedures' } : { view: 'procedureCompare', id, a, b };
  }
  const revision = revisionOf(second);
  if (revision === null) return { view: 'procedures' };
  return { view: third === 'revise' ? 'procedureRevise' : 'procedure', id, revision };
}

export function proceduresUrl(route: ProceduresRoute): string {
  if (route.view === 'procedures') return '#/procedures';
  if (route.view === 'procedureNew') return '#/procedures/new';
  const base = `#/procedures/${encodeURIComponent(route.id)}`;
  if (route.view === 'procedureCompare') return `${base}/compare/${route.a}/${route.b}`;
  return `${base}/${route.revision}${route.view === 'procedureRevise' ? '/revise' : ''}`;
}

export const procedureUrl = (id: string, revision: number): string =>
  proceduresUrl({ view: 'procedure', id, revision });

export const isProceduresRoute = (route: { readonly view: string }): route is ProceduresRoute =>
  route.view.startsWith('procedure');

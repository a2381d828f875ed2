/**
 * The line, counted from 1, on which a value of a TOML document stands, for messages. `path` as in a schema's issue:
 * names and, in lists of tables, numbers. Null where the document does not say it on a line of its own; a key that is
 * missing is looked for at its table.
 */
export function tomlLine(text: string, path: readonly PropertyKey[]): number | null {
  const tables: { path: PropertyKey[]; line: number }[] = [{ path: [], line: 1 }];
  const counts = new Map<string, number>();
  let best: { depth: number; line: number } | null = null;
  for (const [i, row] of text.split('\n').entries()) {
    const list = /^\s*\[\[\s*([^\]]+?)\s*\]\]/.exec(row)?.[1];
    const table = list === undefined ? /^\s*\[\s*([^[\]]+?)\s*\]\s*(#.*)?$/.exec(row)?.[1] : undefined;
    if (list !== undefined) {
      const index = counts.get(list) ?? 0;
      counts.set(list, index + 1);
      tables.push({ path: [...list.split('.'), index], line: i + 1 });
    } else if (table !== undefined) tables.push({ path: table.split('.'), line: i + 1 });
    const key = (list ?? table) ? undefined : /^\s*("?)([A-Za-z0-9_-]+)\1\s*=/.exec(row)?.[2];
    const here = tables.at(-1)!.path;
    const full = key === undefined ? here : [...here, key];
    if (full.length === 0 || full.length > path.length) continue;
    if (full.every((part, depth) => part === path[depth]) && full.length > (best?.depth ?? 0)) {
      best = { depth: full.length, line: i + 1 };
    }
  }
  return best?.line ?? null;
}

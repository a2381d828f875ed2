/** What changed between two revisions of a procedure, field by field, each value with its unit. */
import type { Limit, Procedure, ProcedurePass } from './procedure.ts';

export interface Difference {
  /** Where: 'title', 'pipe / wallThicknessMm', 'pass "fill 1" / travelSpeed (window) / max'. */
  readonly path: string;
  /** In words, with the unit it was entered in; null where the field was not given. */
  readonly before: string | null;
  readonly after: string | null;
}

/** In the order of the later document, what only the earlier has behind it. Passes are matched by name, limits by quantity, basis and zone. */
export function procedureDifference(before: Procedure, after: Procedure): Difference[] {
  const old = leavesOf(before);
  const fresh = leavesOf(after);
  const paths = [...new Set([...fresh.keys(), ...old.keys()])];
  return paths
    .map(path => ({ path, before: old.get(path) ?? null, after: fresh.get(path) ?? null }))
    .filter(one => one.before !== one.after);
}

type Leaves = Map<string, string>;

function leavesOf(procedure: Procedure): Leaves {
  const leaves: Leaves = new Map();
  const { schema: _schema, id: _id, revision: _revision, passes, ...rest } = procedure;
  addAll(leaves, [], rest);
  leaves.set('order of passes', passes.map(({ name }) => name).join(', '));
  for (const pass of passes) addPass(leaves, pass);
  return leaves;
}

function addPass(leaves: Leaves, pass: ProcedurePass): void {
  const { name, limits, ...rest } = pass;
  const at = `pass "${name}"`;
  addAll(leaves, [at], rest);
  const seen = new Map<string, number>();
  for (const limit of limits) {
    const key = limitName(limit);
    const n = (seen.get(key) ?? 0) + 1;
    seen.set(key, n);
    const { quantity: _quantity, unit, basis: _basis, clockZone: _zone, ...values } = limit;
    for (const [field, value] of Object.entries(values)) {
      if (value === undefined) continue;
      const shown =
        field === 'authority'
          ? String(value)
          : field === 'tolerancePercent'
            ? `${value} %`
            : `${value} ${unit}`;
      leaves.set([at, n > 1 ? `${key} no. ${n}` : key, field].join(' / '), shown);
    }
  }
}

function limitName({ quantity, basis, clockZone }: Limit): string {
  const zone = clockZone === undefined ? '' : `, ${clockZone.from} to ${clockZone.to} o’clock`;
  return `${quantity} (${basis}${zone})`;
}

function addAll(leaves: Leaves, at: readonly string[], fields: object): void {
  for (const [field, value] of Object.entries(fields)) {
    if (value === undefined) continue;
    if (Array.isArray(value)) leaves.set([...at, field].join(' / '), value.join(', '));
    else if (typeof value === 'object' && value !== null) addAll(leaves, [...at, field], value);
    else leaves.set([...at, field].join(' / '), wordsOf(field, value));
  }
}

/** The unit is in the name of the field. */
const UNIT_SUFFIX: readonly (readonly [string, string])[] = [
  ['Mm', ' mm'],
  ['Degrees', '°'],
];

function wordsOf(field: string, value: unknown): string {
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  const unit = typeof value === 'number' ? UNIT_SUFFIX.find(([suffix]) => field.endsWith(suffix)) : undefined;
  return `${value}${unit?.[1] ?? ''}`;
}

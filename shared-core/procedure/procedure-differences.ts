import { convert } from '../units/ucum.ts';
import { LIMIT_UNITS, type LimitedQuantity } from './limit-units.ts';
import type { Limit, LimitBasis, Procedure, ProcedurePass } from './procedure.ts';

/** One value of a procedure: limits in their stored unit, so that the same limit in another unit is no difference. */
export interface ProcedureValue {
  readonly value: string | number | boolean;
  /** UCUM code of a limit's number; null for anything else, whose unit is in its name. */
  readonly unit: string | null;
}

export interface ProcedurePlace {
  readonly pass: string | null;
  readonly limit: {
    readonly quantity: LimitedQuantity;
    readonly basis: LimitBasis;
    readonly zone: { readonly from: number; readonly to: number } | null;
  } | null;
  /** Name of the field in the procedure file, with a dot where it is inside another. */
  readonly field: string;
}

export interface ProcedureDifference extends ProcedurePlace {
  /** Null where this revision has no such field. */
  readonly before: ProcedureValue | null;
  readonly after: ProcedureValue | null;
}

interface Leaf extends ProcedurePlace {
  readonly at: ProcedureValue;
}

/** What makes a revision that revision; every two differ in it. */
const IDENTITY = new Set(['schema', 'id', 'revision']);
/** Rounding of a unit conversion, relative. */
const SAME = 1e-9;

function leavesOf(
  source: Readonly<Record<string, unknown>>,
  put: (field: string, value: string | number | boolean) => void,
  skip: ReadonlySet<string>,
  prefix = '',
): void {
  for (const [name, value] of Object.entries(source)) {
    if (skip.has(name) || value === undefined) continue;
    const field = `${prefix}${name}`;
    if (typeof value === 'string' || typeof value === 'number' || typeof value === 'boolean')
      put(field, value);
    else if (Array.isArray(value)) put(field, value.join(', '));
    else if (typeof value === 'object' && value !== null) {
      leavesOf(value as Readonly<Record<string, unknown>>, put, new Set(), `${field}.`);
    }
  }
}

const NUMBERS = ['min', 'nominal', 'max', 'exact'] as const;

function limitLeaves(pass: string, limit: Limit, put: (leaf: Leaf) => void): void {
  const unit = LIMIT_UNITS[limit.quantity];
  const place = {
    pass,
    limit: { quantity: limit.quantity, basis: limit.basis, zone: limit.clockZone ?? null },
  };
  for (const field of NUMBERS) {
    const value = limit[field];
    if (value !== undefined) put({ ...place, field, at: { value: convert(value, limit.unit, unit), unit } });
  }
  if (limit.tolerancePercent !== undefined) {
    put({ ...place, field: 'tolerancePercent', at: { value: limit.tolerancePercent, unit: null } });
  }
  if (limit.authority !== undefined) {
    put({ ...place, field: 'authority', at: { value: limit.authority, unit: null } });
  }
}

const keyOf = ({ pass, limit, field }: ProcedurePlace): string =>
  JSON.stringify([pass, limit?.quantity, limit?.basis, limit?.zone?.from, limit?.zone?.to, field]);

function flattened(procedure: Procedure): ReadonlyMap<string, Leaf> {
  const leaves = new Map<string, Leaf>();
  const put = (leaf: Leaf): void => {
    // Two limits on the same quantity, basis and zone: the second keeps a place of its own.
    let key = keyOf(leaf);
    while (leaves.has(key)) key += '+';
    leaves.set(key, leaf);
  };
  const plain =
    (pass: string | null) =>
    (field: string, value: string | number | boolean): void =>
      put({ pass, limit: null, field, at: { value, unit: null } });
  leavesOf(procedure, plain(null), new Set([...IDENTITY, 'passes']));
  plain(null)('passes', procedure.passes.map(({ name }) => name).join(', '));
  for (const pass of procedure.passes) passLeaves(pass, plain(pass.name), put);
  return leaves;
}

function passLeaves(
  pass: ProcedurePass,
  plain: (field: string, value: string | number | boolean) => void,
  put: (leaf: Leaf) => void,
): void {
  leavesOf(pass, plain, new Set(['name', 'limits']));
  for (const limit of pass.limits) limitLeaves(pass.name, limit, put);
}

function isSame(a: ProcedureValue, b: ProcedureValue): boolean {
  if (typeof a.value !== 'number' || typeof b.value !== 'number') return a.value === b.value;
  return Math.abs(a.value - b.value) <= SAME * Math.max(Math.abs(a.value), Math.abs(b.value));
}

/**
 * Every field in which two revisions differ, in the order of the later one, what it no longer has last. Passes are held
 * against each other by name, limits by quantity, basis and clock zone.
 * @throws RangeError where a unit does not fit its quantity, which no stored procedure has.
 */
export function procedureDifferences(before: Procedure, after: Procedure): ProcedureDifference[] {
  const old = flattened(before);
  const now = flattened(after);
  const found: ProcedureDifference[] = [];
  for (const [key, { at, ...place }] of now) {
    const was = old.get(key)?.at ?? null;
    if (was === null || !isSame(was, at)) found.push({ ...place, before: was, after: at });
  }
  for (const [key, { at, ...place }] of old) {
    if (!now.has(key)) found.push({ ...place, before: at, after: null });
  }
  return found;
}

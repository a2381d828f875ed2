import { LIMIT_UNITS } from '#core/procedure/limit-units';
import type { Procedure } from '#core/procedure/procedure';
import { isCommensurable } from '#core/units/ucum';
import { PASS_FIELDS, PROCEDURE_FIELDS } from './procedure-fields.ts';

/** Where a file is not one, as the texts of the page say it. */
export type FileProblem =
  | { readonly kind: 'notJson' | 'notProcedure' | 'noPasses' }
  | { readonly kind: 'unknownKey' | 'wrongKind'; readonly at: string };

export type FileReading =
  | { readonly kind: 'procedure'; readonly procedure: Procedure }
  | { readonly kind: 'problem'; readonly problem: FileProblem };

type Tree = Readonly<Record<string, unknown>>;

const isTree = (value: unknown): value is Tree =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

class Refused extends Error {
  readonly problem: FileProblem;
  constructor(problem: FileProblem) {
    super(problem.kind);
    this.problem = problem;
  }
}

const wrong = (kind: 'unknownKey' | 'wrongKind', at: string): Refused => new Refused({ kind, at });

const KINDS: Readonly<Record<string, (value: unknown) => boolean>> = {
  text: value => typeof value === 'string',
  long: value => typeof value === 'string',
  choice: value => typeof value === 'string',
  number: value => typeof value === 'number',
  flag: value => typeof value === 'boolean',
  list: value => Array.isArray(value) && value.every(one => typeof one === 'string'),
  numbers: value => Array.isArray(value) && value.every(one => typeof one === 'number'),
};

/** Nothing of a file may be lost on the way through the form: a key it has no field for is a refusal. */
function checkFields(source: Tree, kinds: ReadonlyMap<string, string>, where: string, prefix = ''): void {
  for (const [name, value] of Object.entries(source)) {
    const path = `${prefix}${name}`;
    const kind = kinds.get(path);
    if (kind !== undefined) {
      if (KINDS[kind]?.(value) !== true) throw wrong('wrongKind', `${where}${path}`);
    } else if (isTree(value) && [...kinds.keys()].some(known => known.startsWith(`${path}.`))) {
      checkFields(value, kinds, where, `${path}.`);
    } else throw wrong('unknownKey', `${where}${path}`);
  }
}

const HEADER = new Map([
  ['schema', 'text'],
  ...PROCEDURE_FIELDS.flatMap(({ fields }) => fields.map(({ path, kind }) => [path, kind] as const)),
]);
const PASS = new Map(PASS_FIELDS.map(({ path, kind }) => [path, kind] as const));
const LIMIT = new Map([
  ['quantity', 'text'],
  ['unit', 'text'],
  ['basis', 'text'],
  ['min', 'number'],
  ['nominal', 'number'],
  ['max', 'number'],
  ['tolerancePercent', 'number'],
  ['exact', 'number'],
  ['clockZone.from', 'number'],
  ['clockZone.to', 'number'],
  ['authority', 'text'],
]);
const BASES = ['pass', 'window', 'instant'];

function checkLimit(limit: unknown, where: string): void {
  if (!isTree(limit)) throw wrong('wrongKind', where);
  checkFields(limit, LIMIT, `${where}.`);
  const { quantity, unit, basis } = limit;
  const stored = LIMIT_UNITS[quantity as keyof typeof LIMIT_UNITS] as string | undefined;
  if (stored === undefined) throw wrong('wrongKind', `${where}.quantity`);
  if (typeof unit !== 'string' || !isCommensurable(unit, stored)) throw wrong('wrongKind', `${where}.unit`);
  if (!BASES.includes(String(basis))) throw wrong('wrongKind', `${where}.basis`);
}

function checkPass(pass: unknown, where: string): void {
  if (!isTree(pass)) throw wrong('wrongKind', where);
  const { limits, ...fields } = pass;
  checkFields(fields, PASS, `${where}.`);
  if (!Array.isArray(limits)) throw wrong('wrongKind', `${where}.limits`);
  limits.forEach((limit, i) => {
    checkLimit(limit, `${where}.limits.${i}`);
  });
}

/** A procedure file, sound enough to be put into the form; whether it is right, the server says on saving. */
export function readProcedureFile(text: string): FileReading {
  try {
    let file: unknown;
    try {
      file = JSON.parse(text);
    } catch {
      throw new Refused({ kind: 'notJson' });
    }
    if (!isTree(file) || file['schema'] !== 'girthlog.procedure/1')
      throw new Refused({ kind: 'notProcedure' });
    const { passes, ...fields } = file;
    checkFields(fields, HEADER, '');
    if (!Array.isArray(passes) || passes.length === 0) throw new Refused({ kind: 'noPasses' });
    passes.forEach((pass, i) => {
      checkPass(pass, `passes.${i}`);
    });
    return { kind: 'procedure', procedure: file as unknown as Procedure };
  } catch (error) {
    if (error instanceof Refused) return { kind: 'problem', problem: error.problem };
    throw error;
  }
}

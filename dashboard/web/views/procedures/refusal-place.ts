import {
  fieldId,
  LIMIT_NUMBERS,
  limitFieldId,
  type ProcedureDraft,
  passFieldId,
  SHAPE_NUMBERS,
} from './procedure-draft.ts';
import { PASS_FIELDS, PROCEDURE_FIELDS } from './procedure-fields.ts';

export interface Refusal {
  /** The input it is about; null where the server names none of this page. */
  readonly id: string | null;
  /** The server's sentence. */
  readonly text: string;
}

const SPECS = PROCEDURE_FIELDS.flatMap(({ fields }) => fields);
/** What is wrong with a table as a whole names pass, quantity and field instead of a path (procedure/impossible.ts). */
const NAMED_PASS = /^Pass "(.*)", (\w+)(?:, (min|nominal|max|unit))?: /s;
const NAMED = /^The body is not valid at (?:procedure\.)?([\w.]+): (.*)$/s;

/** The field a refusal of the server names, as it names it: `passes.0.limits.2.min`. */
export function refusalOf(detail: string, draft: ProcedureDraft): Refusal {
  const match = NAMED.exec(detail);
  if (match === null) return { id: placeNamed(detail, draft), text: detail };
  const [, path = '', text = detail] = match;
  return { id: placeOf(path.split('.'), draft), text };
}

function placeNamed(detail: string, draft: ProcedureDraft): string | null {
  const [, name, quantity, field] = NAMED_PASS.exec(detail) ?? [];
  const pass = draft.passes.find(({ fields }) => fields['name']?.trim() === name);
  const limit = pass?.limits.find(one => one.quantity === quantity);
  if (limit === undefined) return null;
  const asked = SHAPE_NUMBERS[limit.shape];
  return limitFieldId(limit.key, field === 'unit' ? field : (asked.find(one => one === field) ?? asked[0]!));
}

/** The input a path of the procedure file is about: `passes.0.limits.2.min`. */
export function placeOf(names: readonly string[], draft: ProcedureDraft): string | null {
  if (names[0] !== 'passes') return firstFitting(SPECS, names, fieldId);
  const pass = draft.passes[Number(names[1])];
  if (pass === undefined) return null;
  const rest = names.slice(2);
  if (rest[0] !== 'limits') {
    return (
      firstFitting(PASS_FIELDS, rest, path => passFieldId(pass.key, path)) ?? passFieldId(pass.key, 'name')
    );
  }
  const limit = pass.limits[Number(rest[1])];
  if (limit === undefined) return passFieldId(pass.key, 'name');
  const [part, end] = rest.slice(2);
  const asked = SHAPE_NUMBERS[limit.shape];
  const number = LIMIT_NUMBERS.find(name => name === part);
  if (number !== undefined) return limitFieldId(limit.key, asked.includes(number) ? number : asked[0]!);
  if (part === 'clockZone') return limitFieldId(limit.key, end === 'to' ? 'to' : 'from');
  if (part === 'quantity' || part === 'unit' || part === 'basis' || part === 'authority') {
    return limitFieldId(limit.key, part);
  }
  return limitFieldId(limit.key, asked[0]!);
}

/** `pipe` alone is about the first field of it; `bevel.anglesDegrees.2` about the field they stand in. */
function firstFitting(
  specs: readonly { readonly path: string }[],
  names: readonly string[],
  idOf: (path: string) => string,
): string | null {
  const path = names.filter(name => !/^\d+$/.test(name)).join('.');
  const found =
    specs.find(spec => spec.path === path) ?? specs.find(spec => spec.path.startsWith(`${path}.`));
  return found === undefined ? null : idOf(found.path);
}

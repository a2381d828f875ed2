import { LIMIT_UNITS } from '#core/procedure/limit-units';
import type { Procedure } from '#core/procedure/procedure';
import { convert } from '#core/units/ucum';
import { typedNumber } from '../../text/typed-number.ts';
import {
  fieldId,
  type LimitDraft,
  limitFieldId,
  type Original,
  type PassDraft,
  type ProcedureDraft,
  passFieldId,
  SHAPE_NUMBERS,
} from './procedure-draft.ts';
import { type FieldSpec, PASS_FIELDS, PROCEDURE_FIELDS, putAt } from './procedure-fields.ts';
import { lengthUnit } from './unit-system.ts';

/** What can be seen without the rules of the procedure file, which the server holds. */
export type DraftProblem = 'missing' | 'notNumber' | 'notWhole' | 'notNumbers' | 'noNumber' | 'notClock';

export interface DraftReading {
  /** The file; complete only without problems. The server validates it. */
  readonly procedure: Procedure;
  /** By the id of the input. */
  readonly problems: ReadonlyMap<string, DraftProblem>;
}

type Originals = Readonly<Record<string, Original>>;

class Reading {
  readonly problems = new Map<string, DraftProblem>();
  readonly #originals: Originals;
  readonly #lengthUnit: string;

  constructor(draft: ProcedureDraft) {
    this.#originals = draft.originals;
    this.#lengthUnit = lengthUnit(draft.system);
  }

  /** A number in its stored unit; undefined where nothing is typed or it is none. */
  number(id: string, typed: string, unit: string, stored: string): number | undefined {
    if (typed.trim() === '') return undefined;
    const original = this.#originals[id];
    if (original !== undefined && original.typed === typed && original.unit === unit) return original.stored;
    const value = typedNumber(typed);
    if (value === null) {
      this.problems.set(id, 'notNumber');
      return undefined;
    }
    return convert(value, unit, stored);
  }

  field(id: string, spec: FieldSpec, typed: string): unknown {
    const text = typed.trim();
    if (text === '') {
      if (spec.required === true) this.problems.set(id, 'missing');
      return undefined;
    }
    if (spec.kind === 'flag') return text === 'yes';
    if (spec.kind === 'list') return parts(text);
    if (spec.kind === 'numbers') {
      const values = parts(text).map(typedNumber);
      if (values.includes(null)) this.problems.set(id, 'notNumbers');
      return values;
    }
    if (spec.kind !== 'number') return text;
    const unit = spec.unit === 'mm' ? this.#lengthUnit : (spec.unit ?? '1');
    const value = this.number(id, typed, unit, spec.unit ?? '1');
    if (spec.whole === true && value !== undefined && !Number.isInteger(value)) {
      this.problems.set(id, 'notWhole');
    }
    return value;
  }
}

const parts = (text: string): string[] =>
  text
    .split(';')
    .map(part => part.trim())
    .filter(part => part !== '');

function readFields(
  reading: Reading,
  target: Record<string, unknown>,
  specs: readonly FieldSpec[],
  fields: Readonly<Record<string, string>>,
  idOf: (path: string) => string,
): void {
  for (const spec of specs) {
    const value = reading.field(idOf(spec.path), spec, fields[spec.path] ?? '');
    if (value !== undefined) putAt(target, spec.path, value);
  }
}

function readLimit(reading: Reading, draft: LimitDraft): Record<string, unknown> {
  const { key, quantity, basis, shape, authority } = draft;
  const stored = LIMIT_UNITS[quantity];
  const limit: Record<string, unknown> = { quantity, unit: stored, basis };
  for (const name of SHAPE_NUMBERS[shape]) {
    const id = limitFieldId(key, name);
    const percent = name === 'tolerancePercent';
    const value = reading.number(id, draft.numbers[name], percent ? '%' : draft.unit, percent ? '%' : stored);
    if (value !== undefined) limit[name] = value;
  }
  const asked = SHAPE_NUMBERS[shape];
  const empty = asked.every(name => draft.numbers[name].trim() === '');
  if (empty) reading.problems.set(limitFieldId(key, asked[0]!), 'noNumber');
  if (draft.zoned) {
    const zone: Record<string, number> = {};
    for (const end of ['from', 'to'] as const) {
      const value = clockOf(draft[end]);
      if (value === null) reading.problems.set(limitFieldId(key, end), 'notClock');
      else zone[end] = value;
    }
    limit['clockZone'] = zone;
  }
  if (authority.trim() !== '') limit['authority'] = authority.trim();
  return limit;
}

/** A clock position as people write it, 4:30 or 4.5; null when it is none. */
export function clockOf(typed: string): number | null {
  const clock = /^(\d{1,2}):([0-5]\d)$/.exec(typed.trim());
  const value = clock === null ? typedNumber(typed) : Number(clock[1]) + Number(clock[2]) / 60;
  return value !== null && value >= 0 && value <= 12 ? value : null;
}

function readPass(reading: Reading, draft: PassDraft): Record<string, unknown> {
  const pass: Record<string, unknown> = {};
  readFields(reading, pass, PASS_FIELDS, draft.fields, path => passFieldId(draft.key, path));
  // A wire is known by its diameter: words about it alone are no wire.
  if (typeof pass['wire'] === 'object' && !('diameterMm' in (pass['wire'] as object))) {
    reading.problems.set(passFieldId(draft.key, 'wire.diameterMm'), 'missing');
  }
  pass['limits'] = draft.limits.map(limit => readLimit(reading, limit));
  return pass;
}

/** The procedure file of what is typed, and every field that keeps it from being one. */
export function procedureOfDraft(draft: ProcedureDraft): DraftReading {
  const reading = new Reading(draft);
  const file: Record<string, unknown> = { schema: 'girthlog.procedure/1' };
  const specs = PROCEDURE_FIELDS.flatMap(({ fields }) => fields);
  readFields(reading, file, specs, draft.fields, fieldId);
  // A pipe is its diameter and its wall: one alone is no pipe.
  const pipe = file['pipe'] as Record<string, unknown> | undefined;
  for (const size of ['outsideDiameterMm', 'wallThicknessMm']) {
    if (pipe !== undefined && !(size in pipe)) reading.problems.set(fieldId(`pipe.${size}`), 'missing');
  }
  file['passes'] = draft.passes.map(pass => readPass(reading, pass));
  return { procedure: file as unknown as Procedure, problems: reading.problems };
}

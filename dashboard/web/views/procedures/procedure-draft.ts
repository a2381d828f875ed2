import { LIMIT_UNITS, type LimitedQuantity } from '#core/procedure/limit-units';
import type { Limit, LimitBasis, Procedure, ProcedurePass } from '#core/procedure/procedure';
import { convert } from '#core/units/ucum';
import { plainNumber } from '../sums/shown-number.ts';
import { type FieldSpec, PASS_FIELDS, PROCEDURE_FIELDS, valueAt } from './procedure-fields.ts';
import { lengthUnit, shownUnit, type UnitSystem } from './unit-system.ts';

/** min/nominal/max as given, ± % of a nominal, or one exact value. */
export const LIMIT_SHAPES = ['range', 'percent', 'exact'] as const;
export type LimitShape = (typeof LIMIT_SHAPES)[number];
export const LIMIT_NUMBERS = ['min', 'nominal', 'max', 'tolerancePercent', 'exact'] as const;
export type LimitNumber = (typeof LIMIT_NUMBERS)[number];

/** Which numbers a shape asks for. */
export const SHAPE_NUMBERS: Readonly<Record<LimitShape, readonly LimitNumber[]>> = {
  range: ['min', 'nominal', 'max'],
  percent: ['nominal', 'tolerancePercent'],
  exact: ['exact'],
};

/** Everything as typed, so that nothing half-entered is lost. Keys are this draft's own and never used again. */
export interface LimitDraft {
  readonly key: number;
  readonly quantity: LimitedQuantity;
  readonly unit: string;
  readonly basis: LimitBasis;
  readonly shape: LimitShape;
  readonly numbers: Readonly<Record<LimitNumber, string>>;
  readonly zoned: boolean;
  readonly from: string;
  readonly to: string;
  readonly authority: string;
}

export interface PassDraft {
  readonly key: number;
  readonly fields: Readonly<Record<string, string>>;
  readonly limits: readonly LimitDraft[];
}

/** What stood in the file behind a typed number: an untouched number is stored as it was, not as it was rounded. */
export interface Original {
  readonly typed: string;
  readonly unit: string;
  readonly stored: number;
}

export interface ProcedureDraft {
  readonly system: UnitSystem;
  readonly fields: Readonly<Record<string, string>>;
  readonly passes: readonly PassDraft[];
  readonly originals: Readonly<Record<string, Original>>;
  readonly nextKey: number;
}

/** Where something is entered: `title`, `pass 3 name`, `limit 7 min`. Also the id of the input. */
export const fieldId = (path: string): string => `procedure-${path.replaceAll('.', '-')}`;
export const passFieldId = (pass: number, path: string): string =>
  `pass-${pass}-${path.replaceAll('.', '-')}`;
export const limitFieldId = (limit: number, part: string): string => `limit-${limit}-${part}`;

/** Digits shown of a stored number: enough that a unit there and back changes nothing anyone measures. */
const DIGITS = 7;
const typedOf = (value: number): string => plainNumber(value, DIGITS).replace('−', '-');

const NO_NUMBERS = { min: '', nominal: '', max: '', tolerancePercent: '', exact: '' } as const;

export const emptyLimit = (key: number, quantity: LimitedQuantity, system: UnitSystem): LimitDraft => ({
  key,
  quantity,
  unit: shownUnit(quantity, system),
  basis: 'pass',
  shape: 'range',
  numbers: NO_NUMBERS,
  zoned: false,
  from: '',
  to: '',
  authority: '',
});

export const emptyPass = (key: number): PassDraft => ({ key, fields: {}, limits: [] });

export const emptyDraft = (system: UnitSystem): ProcedureDraft => ({
  system,
  fields: { revision: '1' },
  passes: [emptyPass(1)],
  originals: {},
  nextKey: 2,
});

/** Reads a procedure into a draft, in the units of this device. */
export class DraftReader {
  readonly #system: UnitSystem;
  readonly #originals: Record<string, Original> = {};
  #key = 1;

  constructor(system: UnitSystem) {
    this.#system = system;
  }

  read(procedure: Procedure): ProcedureDraft {
    const specs = PROCEDURE_FIELDS.flatMap(({ fields }) => fields);
    const fields = this.#fields(procedure, specs, fieldId);
    const passes = procedure.passes.map(pass => this.#pass(pass));
    return { system: this.#system, fields, passes, originals: this.#originals, nextKey: this.#key };
  }

  /** Passes of a table, with keys from `firstKey` on; `originals` and `nextKey` say what they brought. */
  readPasses(
    passes: readonly ProcedurePass[],
    firstKey: number,
  ): Pick<ProcedureDraft, 'passes' | 'originals' | 'nextKey'> {
    this.#key = firstKey;
    const read = passes.map(pass => this.#pass(pass));
    return { passes: read, originals: this.#originals, nextKey: this.#key };
  }

  #pass(pass: ProcedurePass): PassDraft {
    const key = this.#key++;
    const fields = this.#fields(pass, PASS_FIELDS, path => passFieldId(key, path));
    return { key, fields, limits: pass.limits.map(limit => this.#limit(limit)) };
  }

  #limit(limit: Limit): LimitDraft {
    const key = this.#key++;
    const unit = shownUnit(limit.quantity, this.#system);
    const shape: LimitShape =
      limit.exact !== undefined ? 'exact' : limit.tolerancePercent !== undefined ? 'percent' : 'range';
    const number = (name: LimitNumber): string => {
      const value = limit[name];
      if (value === undefined) return '';
      if (name === 'tolerancePercent') return typedOf(value);
      const typed = typedOf(convert(value, limit.unit, unit));
      const stored = convert(value, limit.unit, LIMIT_UNITS[limit.quantity]);
      this.#originals[limitFieldId(key, name)] = { typed, unit, stored };
      return typed;
    };
    return {
      key,
      quantity: limit.quantity,
      unit,
      basis: limit.basis,
      shape,
      numbers: {
        min: number('min'),
        nominal: number('nominal'),
        max: number('max'),
        tolerancePercent: number('tolerancePercent'),
        exact: number('exact'),
      },
      zoned: limit.clockZone !== undefined,
      from: limit.clockZone === undefined ? '' : typedOf(limit.clockZone.from),
      to: limit.clockZone === undefined ? '' : typedOf(limit.clockZone.to),
      authority: limit.authority ?? '',
    };
  }

  #fields(
    source: object,
    specs: readonly FieldSpec[],
    idOf: (path: string) => string,
  ): Record<string, string> {
    const fields: Record<string, string> = {};
    for (const spec of specs) {
      const value = valueAt(source as Readonly<Record<string, unknown>>, spec.path);
      if (value === undefined) continue;
      // Stated to be not so is more than not stated.
      if (typeof value === 'boolean') fields[spec.path] = value ? 'yes' : 'no';
      else if (Array.isArray(value)) {
        fields[spec.path] = value.map(one => (typeof one === 'number' ? typedOf(one) : one)).join('; ');
      } else if (typeof value === 'number') {
        const unit = spec.unit === 'mm' ? lengthUnit(this.#system) : (spec.unit ?? '1');
        const typed = typedOf(spec.unit === 'mm' ? convert(value, 'mm', unit) : value);
        fields[spec.path] = typed;
        this.#originals[idOf(spec.path)] = { typed, unit, stored: value };
      } else if (typeof value === 'string') fields[spec.path] = value;
    }
    return fields;
  }
}

import { z } from 'zod';

/** One input as a person gave it: a number with its unit as typed, or a word. */
export type Given =
  | {
      readonly kind: 'number';
      readonly value: number;
      /** As typed, a UCUM code or a label such as in/min; null when none was given. */
      readonly unit: string | null;
      readonly uncertainty: GivenUncertainty | null;
    }
  | { readonly kind: 'text'; readonly text: string };

export interface GivenUncertainty {
  readonly value: number;
  /** Null: the unit of the value. % is relative, except for inputs that are themselves shares. */
  readonly unit: string | null;
  /** Limits ± a (÷ √3), or a standard uncertainty. */
  readonly kind: 'limits' | 'standard';
}

export type GivenSet =
  | { readonly kind: 'given'; readonly given: ReadonlyMap<string, Given> }
  | { readonly kind: 'invalid'; readonly problems: readonly string[] };

const NUMBER = String.raw`[+-−]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?`;
const QUANTITY = new RegExp(
  String.raw`^(${NUMBER})(?![\d.,])\s*([^±]*?)\s*(?:(?:±|\+/?-)\s*(${NUMBER})\s*(.*?)\s*(limits|standard)?)?$`,
);

const number = (text: string): number => Number(text.replace('−', '-'));

/** `7.5 mm/s`, `7.5 mm/s ± 2 %`, `24 V ± 0.24 V standard`, or any word. */
export function parseGiven(text: string): Given {
  const match = QUANTITY.exec(text.trim());
  if (match === null) return { kind: 'text', text: text.trim() };
  const [, value, unit, uncertainty, uncertaintyUnit, kind] = match;
  return {
    kind: 'number',
    value: number(value ?? ''),
    unit: unit === undefined || unit === '' ? null : unit,
    uncertainty:
      uncertainty === undefined
        ? null
        : {
            value: number(uncertainty),
            unit: uncertaintyUnit === undefined || uncertaintyUnit === '' ? null : uncertaintyUnit,
            kind: kind === 'standard' ? 'standard' : 'limits',
          },
  };
}

/** `key=value unit` words as a shell hands them over: the value may be several words. */
export function givenFromWords(words: readonly string[]): GivenSet {
  const given = new Map<string, Given>();
  const problems: string[] = [];
  const pieces = words.join(' ').split(/(?:^|\s)([A-Za-z][A-Za-z0-9]*)\s*=/);
  const stray = pieces[0]?.trim();
  if (stray !== undefined && stray !== '') problems.push(`"${stray}" is not key=value unit`);
  for (let i = 1; i < pieces.length; i += 2) {
    const key = pieces[i]!;
    const text = pieces[i + 1]!.trim();
    if (given.has(key)) problems.push(`${key} is given twice`);
    else if (text === '') problems.push(`${key} has no value`);
    else given.set(key, parseGiven(text));
  }
  return problems.length > 0 ? { kind: 'invalid', problems } : { kind: 'given', given };
}

const quantitySchema = z.strictObject({
  value: z.number(),
  unit: z.string().optional(),
  uncertainty: z.number().optional(),
  uncertaintyUnit: z.string().optional(),
  uncertaintyKind: z.enum(['limits', 'standard']).optional(),
});
const givenSchema = z.record(z.string(), z.union([z.number(), z.string(), quantitySchema]));

/** A JSON object of key → number, text as in words, or `{value, unit, uncertainty, uncertaintyUnit, uncertaintyKind}`. */
export function givenFromJson(text: string): GivenSet {
  let parsed: unknown;
  try {
    parsed = JSON.parse(text);
  } catch {
    return { kind: 'invalid', problems: ['the JSON cannot be read'] };
  }
  const checked = givenSchema.safeParse(parsed);
  if (!checked.success) {
    const problems = checked.error.issues.map(issue => {
      const where = issue.path.join('.');
      return where === ''
        ? 'the JSON must be an object of inputs'
        : `${where} must be a number, a text such as "7.5 mm/s", or {"value", "unit", "uncertainty", "uncertaintyUnit", "uncertaintyKind"}`;
    });
    return { kind: 'invalid', problems };
  }
  const given = new Map<string, Given>();
  for (const [key, item] of Object.entries(checked.data)) {
    if (typeof item === 'string') given.set(key, parseGiven(item));
    else if (typeof item === 'number') {
      given.set(key, { kind: 'number', value: item, unit: null, uncertainty: null });
    } else {
      const { value, unit, uncertainty, uncertaintyUnit, uncertaintyKind } = item;
      given.set(key, {
        kind: 'number',
        value,
        unit: unit ?? null,
        uncertainty:
          uncertainty === undefined
            ? null
            : { value: uncertainty, unit: uncertaintyUnit ?? null, kind: uncertaintyKind ?? 'limits' },
      });
    }
  }
  return { kind: 'given', given };
}

import type { OutOfRange, Range } from './answer.ts';

/** A number a person gives, in one of the units offered; computed in `unit`. */
export interface NumberInput {
  readonly kind: 'number';
  readonly label: string;
  /** UCUM code the computation works in; '1' for a plain number. */
  readonly unit: string;
  /** Other units offered and shown, the trade's own first. Any commensurable unit is understood. */
  readonly also?: readonly string[];
  /** What is plausible, in `unit`: catches a slip of the finger or of the unit. The validity of the formula is its own. */
  readonly range: Range;
  /** Taken where nothing is given, in `unit`. */
  readonly fallback?: number;
  /** May be left out, and is then null. */
  readonly optional?: true;
}

export interface ChoiceInput {
  readonly kind: 'choice';
  readonly label: string;
  readonly choices: readonly string[];
  readonly fallback?: string;
}

export type CalculationInput = NumberInput | ChoiceInput;

export interface CalculationOutput {
  readonly label: string;
  /** UCUM code; null for a word. */
  readonly unit: string | null;
  readonly also?: readonly string[];
  /** Goes up in whole steps: a small uncertainty says nothing about it, so none is shown. */
  readonly stepped?: true;
}

export type Results = Readonly<Record<string, number | string | null>>;
export type Outcome =
  | { readonly kind: 'value'; readonly value: Results }
  | OutOfRange
  /** Inputs that contradict each other, in one sentence. */
  | { readonly kind: 'invalid'; readonly text: string };

export type CalculationGroup =
  | 'Energy and time'
  | 'Position'
  | 'Metal and wire'
  | 'Heat'
  | 'Checks before the arc'
  | 'Drift';

/** One entry of the catalogue: all that the command line, the screen and the documentation say about it. */
export interface Calculation {
  readonly name: string;
  readonly group: CalculationGroup;
  readonly title: string;
  readonly formula: string;
  readonly source: string;
  /** Where the formula holds, in words. */
  readonly validity: string;
  /** What proves it: the published values it is tested against, or that it has none. */
  readonly provenBy: string;
  /** Where acting on it can hurt someone or mislead; null where nothing can. */
  readonly caution: string | null;
  readonly inputs: Readonly<Record<string, CalculationInput>>;
  readonly outputs: Readonly<Record<string, CalculationOutput>>;
  compute(values: InputValues): Outcome;
}

/** Numbers in each input's own unit, words for choices, null for what was left out. */
export type InputValues = Readonly<Record<string, number | string | null>>;

type ValueOf<I extends CalculationInput> = I extends { readonly kind: 'choice' }
  ? I['choices'][number]
  : I extends { readonly optional: true }
    ? number | null
    : number;
type ValuesOf<I extends Readonly<Record<string, CalculationInput>>> = {
  readonly [K in keyof I]: ValueOf<I[K]>;
};

interface Definition<
  I extends Readonly<Record<string, CalculationInput>>,
  O extends Readonly<Record<string, CalculationOutput>>,
> extends Omit<Calculation, 'inputs' | 'outputs' | 'compute'> {
  readonly inputs: I;
  readonly outputs: O;
  readonly compute: (
    values: ValuesOf<I>,
  ) =>
    | { readonly kind: 'value'; readonly value: { readonly [K in keyof O]: number | string | null } }
    | OutOfRange
    | { readonly kind: 'invalid'; readonly text: string };
}

/** A catalogue entry whose `compute` sees each input by name and type; run-calculation.ts has checked them before. */
export function calculation<
  const I extends Readonly<Record<string, CalculationInput>>,
  const O extends Readonly<Record<string, CalculationOutput>>,
>(definition: Definition<I, O>): Calculation {
  return {
    ...definition,
    compute: values => definition.compute(values as ValuesOf<I>) as Outcome,
  };
}

/** What this device keeps of the sums: how often each was used, what was last entered, units. Never sent anywhere. */
export interface InputDraft {
  /** As typed, or the word chosen. */
  readonly value: string;
  /** UCUM code; '' for a choice. */
  readonly unit: string;
  /** ± as typed; '' for none. */
  readonly plus: string;
  readonly plusUnit: 'same' | 'percent';
  readonly plusKind: 'limits' | 'standard';
}

export interface KeptInputs {
  readonly atMs: number;
  readonly inputs: Readonly<Record<string, InputDraft>>;
}

export interface SumsMemory {
  readonly used: Readonly<Record<string, number>>;
  readonly last: Readonly<Record<string, KeptInputs>>;
  /** Unit last chosen, by what is measured. */
  readonly units: Readonly<Record<string, string>>;
  readonly uncertainties: boolean;
}

const KEY = 'girthlog.sums';
const EMPTY: SumsMemory = { used: {}, last: {}, units: {}, uncertainties: false };

type Store = Pick<Storage, 'getItem' | 'setItem'>;

const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** Entries of a record whose values pass; anything else in storage is as if it were not there. */
function recordOf<T>(value: unknown, fits: (one: unknown) => one is T): Record<string, T> {
  if (!isRecord(value)) return {};
  return Object.fromEntries(Object.entries(value).filter((entry): entry is [string, T] => fits(entry[1])));
}

const isText = (value: unknown): value is string => typeof value === 'string';
const isCount = (value: unknown): value is number => Number.isSafeInteger(value) && (value as number) >= 0;
const isDraft = (value: unknown): value is InputDraft =>
  isRecord(value) &&
  isText(value['value']) &&
  isText(value['unit']) &&
  isText(value['plus']) &&
  (value['plusUnit'] === 'same' || value['plusUnit'] === 'percent') &&
  (value['plusKind'] === 'limits' || value['plusKind'] === 'standard');
const isKept = (value: unknown): value is KeptInputs =>
  isRecord(value) &&
  isCount(value['atMs']) &&
  isRecord(value['inputs']) &&
  Object.values(value['inputs']).every(isDraft);

export function readSumsMemory(store: Store): SumsMemory {
  try {
    const kept = JSON.parse(store.getItem(KEY) ?? 'null') as unknown;
    if (!isRecord(kept)) return EMPTY;
    return {
      used: recordOf(kept['used'], isCount),
      last: recordOf(kept['last'], isKept),
      units: recordOf(kept['units'], isText),
      uncertainties: kept['uncertainties'] === true,
    };
  } catch {
    return EMPTY;
  }
}

/** Storage may be full or switched off: then a sum is simply not remembered. */
export function writeSumsMemory(store: Store, memory: SumsMemory): void {
  try {
    store.setItem(KEY, JSON.stringify(memory));
  } catch {
    // Nothing is lost but the convenience.
  }
}

export const withAnswer = (memory: SumsMemory, name: string, kept: KeptInputs): SumsMemory => ({
  ...memory,
  used: { ...memory.used, [name]: (memory.used[name] ?? 0) + 1 },
  last: { ...memory.last, [name]: kept },
});

export const withoutInputs = (memory: SumsMemory, name: string): SumsMemory => {
  const { [name]: _gone, ...last } = memory.last;
  return { ...memory, last };
};

/**
 * How much a person is told. Budget: about 6 announcements an hour for a person, 12 the ceiling, more than 10 in
 * 10 minutes a flood (ISA-18.2 / EEMUA 191 guidance, from memory). More than 6 in 60 s fold into one line; folding
 * makes no count smaller.
 */

export const ALARM_BUDGET = { perHour: 6, ceilingPerHour: 12, floodAbovePer10Min: 10 } as const;
export const FOLD_ABOVE = 6;
export const FOLD_WITHIN_MS = 60_000;

const TEN_MINUTES_MS = 600_000;
export const HOUR_MS = 3_600_000;

export interface BudgetState {
  readonly last10Min: number;
  readonly lastHour: number;
  readonly state: 'within' | 'above' | 'overCeiling' | 'flood';
}

/** `atMs` of every announcement, in any order; those of more than an hour ago do not count. */
export function budgetState(atMs: readonly number[], nowMs: number): BudgetState {
  const within = (ms: number): number => atMs.filter(at => at > nowMs - ms && at <= nowMs).length;
  const last10Min = within(TEN_MINUTES_MS);
  const lastHour = within(HOUR_MS);
  const { perHour, ceilingPerHour, floodAbovePer10Min } = ALARM_BUDGET;
  if (last10Min > floodAbovePer10Min) return { last10Min, lastHour, state: 'flood' };
  if (lastHour > ceilingPerHour) return { last10Min, lastHour, state: 'overCeiling' };
  return { last10Min, lastHour, state: lastHour > perHour ? 'above' : 'within' };
}

export interface Annunciation {
  /** Counts every one of a store, from 1; never used twice. */
  readonly number: number;
  readonly atMs: number;
}

/** Announcements told in one line. */
export interface Fold {
  readonly fromMs: number;
  readonly toMs: number;
  readonly numbers: readonly number[];
}

/**
 * Every announcement that lies in some 60 s with more than 6 of them; stretches that overlap are one.
 * `announced` in the order of its numbers.
 */
export function foldsOf(announced: readonly Annunciation[]): Fold[] {
  const folds: { fromMs: number; toMs: number; numbers: number[] }[] = [];
  let last = -1;
  for (let first = 0; first + FOLD_ABOVE < announced.length; first++) {
    const to = first + FOLD_ABOVE;
    if (announced[to]!.atMs - announced[first]!.atMs > FOLD_WITHIN_MS) continue;
    const open = folds.at(-1);
    const isNew = open === undefined || first > last;
    const fold = isNew ? { fromMs: announced[first]!.atMs, toMs: 0, numbers: [] } : open;
    for (let i = Math.max(first, last + 1); i <= to; i++) fold.numbers.push(announced[i]!.number);
    fold.toMs = announced[to]!.atMs;
    if (isNew) folds.push(fold);
    last = to;
  }
  return folds;
}

/** Rounds, medians and ratios. Subject and baselines take turns, so that a busy machine is busy for both. */

export interface Spread {
  readonly median: number;
  readonly low: number;
  readonly high: number;
}

/** Median, least and greatest. Throws RangeError on nothing. */
export function spreadOf(values: readonly number[]): Spread {
  if (values.length === 0) throw new RangeError('no values to take a median of');
  const sorted = [...values].sort((a, b) => a - b);
  return { median: quantile(sorted, 0.5), low: sorted[0]!, high: sorted.at(-1)! };
}

/** Linear between the order statistics; `sorted` ascending. */
export function quantile(sorted: readonly number[], share: number): number {
  const at = (sorted.length - 1) * share;
  const below = sorted[Math.floor(at)]!;
  const above = sorted[Math.ceil(at)]!;
  return below + (above - below) * (at - Math.floor(at));
}

/** Ratio of each pair of one round, and their spread. */
export function ratioOf(subject: readonly number[], baseline: readonly number[]): Spread {
  return spreadOf(subject.map((value, i) => value / baseline[i]!));
}

/**
 * Runs each contestant once a round and returns what they measured, by name, `rounds` values each.
 * The one that begins changes from round to round; `warmUps` rounds come first and are not counted.
 */
export async function takeTurns<Name extends string, Value = number>(
  { rounds, warmUps = 1 }: { rounds: number; warmUps?: number },
  contestants: Readonly<Record<Name, () => Value | Promise<Value>>>,
): Promise<Record<Name, Value[]>> {
  const names = Object.keys(contestants) as Name[];
  const results = Object.fromEntries(names.map(name => [name, [] as Value[]])) as Record<Name, Value[]>;
  for (let round = -warmUps; round < rounds; round++) {
    for (let turn = 0; turn < names.length; turn++) {
      const name = names[(turn + round + warmUps) % names.length]!;
      const value = await contestants[name]();
      if (round >= 0) results[name].push(value);
    }
  }
  return results;
}

/** Nanoseconds that `work` took, divided by `count`. */
export async function nsEach(count: number, work: () => unknown): Promise<number> {
  const start = process.hrtime.bigint();
  await work();
  return Number(process.hrtime.bigint() - start) / count;
}

/** Three significant digits and a unit. */
export function show(value: number, unit: string): string {
  const digits = Math.max(0, 2 - Math.floor(Math.log10(Math.abs(value) || 1)));
  return `${value.toFixed(Math.min(digits, 4))} ${unit}`;
}

export const showMedian = (values: readonly number[], unit: string): string =>
  show(spreadOf(values).median, unit);

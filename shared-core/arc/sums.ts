import { CompensatedSum } from '../statistics/compensated-sum.ts';

/** What is summed over observed time; `…KnownS` is the time for which the channel had a value. */
export const SUM_FIELDS = [
  'observedS',
  'missingS',
  'currentAs',
  'voltageVs',
  'productJ',
  'powerJ',
  'powerKnownS',
  'wireMm',
  'wireKnownS',
  'travelMm',
  'travelKnownS',
  'gasL',
  'gasKnownS',
  'oscillationWidthMmS',
  'oscillationWidthKnownS',
  'oscillationCycles',
  'oscillationKnownS',
] as const;
export type SumField = (typeof SUM_FIELDS)[number];

/** Sums of a slice, a window, a sliding mean or a pass: means are taken from any of them alike. */
export type Sums = Readonly<Record<SumField, number>>;

export function zeroSums(): Record<SumField, number> {
  return Object.fromEntries(SUM_FIELDS.map(field => [field, 0])) as Record<SumField, number>;
}

export function addSums(into: Record<SumField, number>, more: Sums): void {
  for (const field of SUM_FIELDS) into[field] += more[field];
}

/** Sums that lose nothing however long they run. */
export class CompensatedSums {
  private readonly sums = SUM_FIELDS.map(() => new CompensatedSum());

  add(more: Sums): void {
    SUM_FIELDS.forEach((field, i) => {
      this.sums[i]!.add(more[field]);
    });
  }

  get(field: SumField): number {
    return this.sums[SUM_FIELDS.indexOf(field)]!.value;
  }

  plain(): Sums {
    return Object.fromEntries(SUM_FIELDS.map((field, i) => [field, this.sums[i]!.value])) as Sums;
  }
}

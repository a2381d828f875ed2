/**
 * Trims of the oscillation: set by the operator and steady, so a new level shows in two windows. Followed only where
 * the procedure gives a range, and told only inside it.
 */
import { SUM, type Sums } from '../arc/sums.ts';
import { mean } from '../pass/quantities.ts';

export const OSCILLATION_QUANTITIES = ['oscillationWidth', 'oscillationFrequency'] as const;
export type OscillationQuantity = (typeof OSCILLATION_QUANTITIES)[number];

/** A smaller change is not a setting (our own choice). */
const LEAST_SHARE = 0.03;

export interface OscillationTrim {
  readonly quantity: OscillationQuantity;
  readonly fromMm: number;
  readonly fromUs: number;
  readonly before: number;
  readonly after: number;
}

interface Level {
  value: number;
  away: { value: number; fromMm: number; fromUs: number } | null;
}

export class OscillationTrims {
  private readonly levels = new Map<OscillationQuantity, Level>();

  window(window: { sums: Sums; fromMm: number; fromUs: number }): OscillationTrim[] {
    return OSCILLATION_QUANTITIES.flatMap(quantity => {
      const value = levelOf(quantity, window.sums);
      return value === null ? [] : (this.follow(quantity, value, window) ?? []);
    });
  }

  private follow(
    quantity: OscillationQuantity,
    value: number,
    { fromMm, fromUs }: { fromMm: number; fromUs: number },
  ): OscillationTrim | null {
    const level = this.levels.get(quantity);
    if (!level) {
      this.levels.set(quantity, { value, away: null });
      return null;
    }
    const near = (a: number, b: number, share: number): boolean => Math.abs(a - b) <= share * Math.abs(b);
    const { away } = level;
    if (near(value, level.value, LEAST_SHARE)) {
      level.away = null;
      return null;
    }
    // The window in which it changed has a bit of both: two that agree are the new level.
    if (!away || !near(value, away.value, LEAST_SHARE / 2)) {
      level.away = { value, fromMm: away?.fromMm ?? fromMm, fromUs: away?.fromUs ?? fromUs };
      return null;
    }
    this.levels.set(quantity, { value, away: null });
    return { quantity, fromMm: away.fromMm, fromUs: away.fromUs, before: level.value, after: value };
  }
}

function levelOf(quantity: OscillationQuantity, sums: Sums): number | null {
  return quantity === 'oscillationWidth'
    ? mean(sums[SUM.oscillationWidthMmS]!, sums[SUM.oscillationWidthKnownS]!)
    : mean(sums[SUM.oscillationCycles]!, sums[SUM.oscillationKnownS]!);
}

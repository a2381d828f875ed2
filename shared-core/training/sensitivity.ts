/**
 * Sensitivity d′ and criterion c of signal detection theory, from counts.
 *
 * Rates are corrected log-linearly, so that 0 and 1 stay finite: (count + 0.5) / (trials + 1) (Hautus 1995, Behavior
 * Research Methods, Instruments & Computers 27, 46–51; from memory). d′ = z(H) − z(F), c = −(z(H) + z(F)) / 2.
 * The interval is d′ ± 1.96 √var with var = H(1−H) / (n φ(z(H))²) + F(1−F) / (m φ(z(F))²) (Gourevitch & Galanter
 * 1967, Psychometrika 32, 25–33; from memory), by the corrected rates and the real numbers of trials. It is rough for few
 * trials: nothing is said below 10 of each kind.
 */
import { normalDensity, normalQuantile } from '../statistics/distributions.ts';

export const FEWEST_WINDOWS = 10;
const CONFIDENCE = 0.95;

export interface Detection {
  readonly signals: number;
  readonly hits: number;
  readonly noises: number;
  readonly falseAlarms: number;
}

export interface Sensitivity extends Detection {
  readonly dPrime: number;
  readonly low: number;
  readonly high: number;
  readonly criterion: number;
}

/** z(hit rate) − z(false alarm rate), both between 0 and 1 without reaching them. */
export const dPrime = (hitRate: number, falseAlarmRate: number): number =>
  normalQuantile(hitRate) - normalQuantile(falseAlarmRate);

export const correctedRate = (count: number, trials: number): number => (count + 0.5) / (trials + 1);

/** Null with the reason where there are too few windows to say anything. */
export function sensitivity(
  counted: Detection,
):
  | { readonly value: Sensitivity; readonly reason: null }
  | { readonly value: null; readonly reason: string } {
  const { signals, hits, noises, falseAlarms } = counted;
  if (signals < FEWEST_WINDOWS || noises < FEWEST_WINDOWS) {
    return {
      value: null,
      reason:
        `d′ needs at least ${FEWEST_WINDOWS} windows with a signal and ${FEWEST_WINDOWS} without: ` +
        `here are ${signals} and ${noises}.`,
    };
  }
  const hitRate = correctedRate(hits, signals);
  const falseAlarmRate = correctedRate(falseAlarms, noises);
  const value = dPrime(hitRate, falseAlarmRate);
  const spread =
    normalQuantile((1 + CONFIDENCE) / 2) *
    Math.sqrt(varianceOfZ(hitRate, signals) + varianceOfZ(falseAlarmRate, noises));
  const criterion = -(normalQuantile(hitRate) + normalQuantile(falseAlarmRate)) / 2;
  return {
    value: { dPrime: value, low: value - spread, high: value + spread, criterion, ...counted },
    reason: null,
  };
}

const varianceOfZ = (rate: number, trials: number): number =>
  (rate * (1 - rate)) / (trials * normalDensity(normalQuantile(rate)) ** 2);

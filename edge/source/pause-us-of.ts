import { stallUsOf } from './link-machine.ts';

/** What the engine certainly takes for a gap (docs/engine.md: more than 5 periods), µs. */
export function pauseUsOf(samplePeriodUs: number | null): number {
  return stallUsOf(samplePeriodUs) + (samplePeriodUs ?? 0);
}

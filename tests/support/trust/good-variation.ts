/**
 * How good passes differ from one another: set-up, ovality, restarts, trims. All sizes are chosen as what a careful
 * crew leaves (common practice, no source); docs/trust.md prints them. Expressed in the simulator's own knobs.
 */
import type { Fault, FaultKind } from '../../../simulator/faults/fault.ts';
import type { Pcg32 } from '../../../simulator/random/pcg32.ts';
import { randomStream } from '../../../simulator/random/random-streams.ts';

/** Standard deviations from pass to pass. */
export const SET_UP = {
  tipDistanceMm: 0.4,
  feedPercent: 0.3,
  travelPercent: 0.4,
  voltageV: 0.12,
  gasLPerMin: 0.4,
  preheatK: 15,
} as const;
/** Standard deviation of the height of the one long wave that an oval pipe or a skewed band leaves in the tip distance, mm. */
export const OVALITY_MM = 0.3;
/** Share of passes with one stop and restart, and what it leaves in the tip distance. */
export const RESTARTS = { share: 0.15, pauseS: [4, 20], tipDistanceMm: 0.2 } as const;
/**
 * Share of fill and cap passes in which the operator trims travel once, and by how much either way: inside the
 * procedure's limits of ± 8 %. (The model cannot trim the oscillation within a pass.)
 */
export const TRIMS = { types: ['fill', 'cap'], share: 0.4, percent: [3, 6] } as const;

export interface Trim {
  readonly percent: number;
  readonly atMm: number;
}

/** One good pass as it happens to be. */
export interface GoodPass {
  readonly variation: readonly Fault[];
  readonly gasAddLPerMin: number;
  readonly preheatCel: number;
  readonly restartMm: number | null;
  readonly trim: Trim | null;
}

export const faultOf = (kind: FaultKind, size: number, more: Partial<Fault> = {}): Fault => ({
  kind,
  size,
  fromMm: 0,
  toMm: null,
  rampMm: 0,
  otherPass: null,
  channel: null,
  ...more,
});

const between = (random: Pcg32, [low, high]: readonly [number, number]): number =>
  low + (high - low) * random.nextUnit();

/** The same seed gives the same pass. `events`: whether it may have a restart or, where its type is trimmed, a trim. */
export function goodPass(seed: number, lengthMm: number, type: string, events: boolean): GoodPass {
  const random = randomStream(seed, 'trust', 'good pass');
  const wave = OVALITY_MM * random.nextBell();
  const turnMm = lengthMm * between(random, [0.3, 0.7]);
  const variation: Fault[] = [
    faultOf('stickOutGrowth', SET_UP.tipDistanceMm * random.nextBell()),
    faultOf('stickOutGrowth', wave, { rampMm: turnMm }),
    faultOf('stickOutGrowth', -wave, { fromMm: turnMm, rampMm: lengthMm - turnMm }),
    faultOf('feedOffset', SET_UP.feedPercent * random.nextBell()),
    faultOf('travelOffset', SET_UP.travelPercent * random.nextBell()),
    faultOf('voltageOffset', SET_UP.voltageV * random.nextBell()),
  ];
  const gasAddLPerMin = SET_UP.gasLPerMin * random.nextBell();
  const preheatCel = 110 + SET_UP.preheatK * random.nextBell();
  const restarts = random.nextUnit() < RESTARTS.share;
  const restartMm = lengthMm * between(random, [0.15, 0.85]);
  const pauseS = between(random, RESTARTS.pauseS);
  const reset = RESTARTS.tipDistanceMm * random.nextBell();
  const trims = random.nextUnit() < TRIMS.share && TRIMS.types.some(name => name === type);
  const trim = trimOf(random, lengthMm);
  if (events && restarts) {
    variation.push(
      faultOf('stopRestart', pauseS, { fromMm: restartMm }),
      faultOf('stickOutGrowth', reset, { fromMm: restartMm }),
    );
  }
  if (events && trims) variation.push(faultOf('travelOffset', trim.percent, { fromMm: trim.atMm }));
  return {
    variation,
    gasAddLPerMin,
    preheatCel,
    restartMm: events && restarts ? restartMm : null,
    trim: events && trims ? trim : null,
  };
}

function trimOf(random: Pcg32, lengthMm: number): Trim {
  const way = random.nextUnit() < 0.5 ? -1 : 1;
  const percent = way * between(random, TRIMS.percent);
  return { percent, atMm: lengthMm * between(random, [0.15, 0.85]) };
}

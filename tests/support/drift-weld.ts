/**
 * Fill passes as plain signals with the noise of a steady rig, for the rules of changes along the weld. Invented values:
 * they exercise rules and prove no number of the trade.
 */
import type { EngineAssignment, EngineEffect, PassEngine } from '#core/pass/engine-api';
import type { Procedure } from '#core/procedure/procedure';
import type { Channel } from '#core/sample/channels';
import type { SampleChunk } from '#core/sample/chunk';
import { assignmentOf, closedPasses } from './engine-run.ts';
import { normals } from './normals.ts';

const PERIOD_S = 0.02;
const STANDING_S = 0.5;
/** One value a 20 ms frame; a window of 25 mm at 7.5 mm/s has 167 of them. */
const LEVELS = {
  weldingCurrent: { mean: 236, noise: 6, passes: 1 },
  arcVoltage: { mean: 24, noise: 0.6, passes: 0.08 },
  wireFeedSpeed: { mean: 171, noise: 3, passes: 0.4 },
  travelSpeed: { mean: 7.5, noise: 0.12, passes: 0.02 },
  gasFlow: { mean: 20, noise: 0.4, passes: 0.1 },
} as const;
type Level = keyof typeof LEVELS;

/** Standard deviation of a 25 mm window of one channel within its pass, in its unit. */
export const windowSd = (channel: Level): number => LEVELS[channel].noise / Math.sqrt(167);

const limit = (quantity: Level, unit: string, min: number, nominal: number, max: number) =>
  ({ quantity, unit, basis: 'window', min, nominal, max }) as const;

export const DRIFT_LIMITS: Procedure['passes'][number]['limits'] = [
  limit('weldingCurrent', 'A', 216, 236, 256),
  limit('arcVoltage', 'V', 22, 24, 26),
  limit('wireFeedSpeed', 'mm/s', 156, 171, 186),
  limit('travelSpeed', 'mm/s', 6.9, 7.5, 8.1),
];

export function driftProcedure(
  limits: Procedure['passes'][number]['limits'] = DRIFT_LIMITS,
  type = 'fill',
): Procedure {
  return {
    schema: 'girthlog.procedure/1',
    id: 'test',
    revision: 1,
    title: 'Test',
    exampleOnly: true,
    passes: [{ name: 'fill 1', type, wire: { diameterMm: 1 }, limits }],
  };
}

export interface DriftWeld {
  readonly seed: number;
  readonly lengthMm?: number;
  /** What is added to a channel at so many mm of this pass's weld. */
  readonly change?: { readonly [K in Level]?: (mm: number) => number };
  /** Factor on the noise of current and voltage at so many mm. */
  readonly restless?: (mm: number) => number;
  /** The arc stops here and starts again after so long. */
  readonly stops?: readonly { readonly atMm: number; readonly pauseS: number }[];
  /** No samples for so long from here on; the carriage stands meanwhile, so that mm stay comparable. */
  readonly gaps?: readonly { readonly atMm: number; readonly seconds: number }[];
  /** Current falls away for so long from here on. */
  readonly dropOuts?: readonly { readonly atMm: number; readonly seconds: number }[];
  readonly oscillation?: (mm: number) => { readonly widthMm: number; readonly hertz: number };
  /** Channels that the source does not give. */
  readonly without?: readonly Channel[];
  readonly startUs?: number;
  /** No difference from pass to pass. */
  readonly samePasses?: boolean;
}

/** A pass with 1 s of nothing before and after. Weld starts half a second after the arc. */
export function driftWeld(weld: DriftWeld): SampleChunk {
  const { seed, lengthMm = 600, change = {}, stops = [], gaps = [], dropOuts = [], without = [] } = weld;
  const next = normals(seed);
  const own = Object.fromEntries(
    Object.entries(LEVELS).map(([name, { passes }]) => [name, weld.samePasses ? 0 : passes * next()]),
  ) as Record<Level, number>;
  const names = Object.keys(LEVELS) as Level[];
  const tUs: number[] = [];
  const rows: Partial<Record<Channel, number>>[] = [];
  let us = weld.startUs ?? 0;
  let mm = 0;
  const put = (row: Partial<Record<Channel, number>>): void => {
    tUs.push(us);
    rows.push(row);
    us += PERIOD_S * 1e6;
  };
  const off = (seconds: number): void => {
    for (let s = 0; s < seconds; s += PERIOD_S) {
      put({ weldingCurrent: 0, arcVoltage: 0, wireFeedSpeed: 0, travelSpeed: 0, gasFlow: 0 });
    }
  };
  const burn = (travels: boolean): void => {
    const restless = weld.restless?.(mm) ?? 1;
    const row = Object.fromEntries(
      names.map(name => {
        const { mean, noise } = LEVELS[name];
        const factor = name === 'weldingCurrent' || name === 'arcVoltage' ? restless : 1;
        return [name, mean + own[name] + noise * factor * next() + (change[name]?.(mm) ?? 0)];
      }),
    ) as Partial<Record<Channel, number>>;
    const out = dropOuts.some(({ atMm, seconds }) => mm >= atMm && mm < atMm + seconds * 7.5);
    const swing = weld.oscillation?.(mm);
    put({
      ...row,
      ...(out ? { weldingCurrent: 0 } : {}),
      ...(travels ? {} : { travelSpeed: 0 }),
      ...(swing ? { oscillationWidth: swing.widthMm, oscillationFrequency: swing.hertz } : {}),
    });
    if (travels) mm += row.travelSpeed! * PERIOD_S;
  };
  const strike = (): void => {
    for (let s = 0; s < STANDING_S; s += PERIOD_S) burn(false);
  };
  off(1);
  strike();
  const doneStops = new Set<number>();
  const doneGaps = new Set<number>();
  while (mm < lengthMm) {
    const stop = stops.find(({ atMm }) => mm >= atMm && !doneStops.has(atMm));
    if (stop) {
      doneStops.add(stop.atMm);
      off(stop.pauseS);
      strike();
    }
    const gap = gaps.find(({ atMm }) => mm >= atMm && !doneGaps.has(atMm));
    if (gap) {
      doneGaps.add(gap.atMm);
      us += gap.seconds * 1e6;
    }
    burn(true);
  }
  off(1.2);
  const channels = [...new Set(rows.flatMap(row => Object.keys(row) as Channel[]))].filter(
    channel => !without.includes(channel),
  );
  return {
    n: tUs.length,
    tUs: Float64Array.from(tUs),
    lengthUs: new Float64Array(tUs.length).fill(PERIOD_S * 1e6),
    columns: Object.fromEntries(
      channels.map(channel => [channel, Float64Array.from(rows, row => row[channel] ?? Number.NaN)]),
    ),
  };
}

/** A rig that welds one pass after the other, each on its own joint; times go on. */
export class DriftRig {
  readonly engine: PassEngine;
  private readonly assignment: Partial<EngineAssignment>;
  private us: number;
  private count = 0;

  constructor(engine: PassEngine, assignment: Partial<EngineAssignment> = {}, startUs = 0) {
    this.engine = engine;
    this.us = startUs;
    this.assignment = { procedure: driftProcedure(), ...assignment };
  }

  /** What the engine says of one pass, closed by a person. */
  weld(weld: DriftWeld): EngineEffect[] {
    this.count++;
    this.engine.assign(assignmentOf({ ...this.assignment, id: `a${this.count}`, joint: `J-${this.count}` }));
    const chunk = driftWeld({ ...weld, startUs: this.us });
    this.us = chunk.tUs[chunk.n - 1]! + 1e6;
    this.engine.push(chunk);
    this.engine.closePass();
    return this.engine.drain();
  }

  /** Ten good passes, from which the rig learns. */
  learn(seed = 100, weld: Partial<DriftWeld> = {}): void {
    for (let i = 0; i < 10; i++) this.weld({ seed: seed + i, ...weld });
  }
}

export const driftOf = (effects: readonly EngineEffect[]) => closedPasses(effects).at(-1)!.pass.drift!;

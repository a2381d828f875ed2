/** Starts of simulated passes for the comparison with the procedure: invented sets, physics of the simulator. */
import { readFileSync } from 'node:fs';
import { type Procedure, procedureSchema } from '#core/procedure/procedure';
import type { Channel } from '#core/sample/channels';
import type { SampleChunk } from '#core/sample/chunk';
import type { Fault } from '../../simulator/faults/fault.ts';
import { RigProgram } from '../../simulator/rig/rig-program.ts';
import { LEAD_OHM, type RigSettings } from '../../simulator/rig/rig-settings.ts';
import type { SetPoint } from '../../simulator/rig/set-point.ts';
import { EXAMPLE_PASSES } from '../../simulator/scenario/example-passes.ts';

const FRAME_MS = 20;
const CHANNELS = [
  'weldingCurrent',
  'arcVoltage',
  'wireFeedSpeed',
  'travelSpeed',
  'gasFlow',
  'oscillationWidth',
  'oscillationFrequency',
  'program',
] as const satisfies readonly Channel[];

export const BAND_RADIUS_MM = 325;

const SETTINGS: RigSettings = {
  id: 'rig-a',
  side: 'B',
  outsideDiameterMm: 610,
  wallThicknessMm: 15.9,
  bandRadiusMm: BAND_RADIUS_MM,
  referenceRadiusMm: BAND_RADIUS_MM,
  voltageTap: 'tip',
  feedSensor: 'motor',
  leadOhm: LEAD_OHM,
  preheatCel: 100,
  airCel: 15,
};

export function exampleProcedure(root: string): Procedure {
  return procedureSchema.parse(
    JSON.parse(readFileSync(`${root}/simulator/demo/example-procedure.json`, 'utf8')),
  );
}

export const setPointOf = (pass: string): SetPoint => EXAMPLE_PASSES.find(({ name }) => name === pass)!;
export const EXAMPLE_NAMES: readonly string[] = EXAMPLE_PASSES.map(({ name }) => name);

/** How much of another pass's set runs while `assigned` is assigned. */
export type Severity = 'whole set' | 'feed only' | 'half-way';
export const SEVERITIES: readonly Severity[] = ['whole set', 'feed only', 'half-way'];

/**
 * The set that runs. The torch stands and swings as the assigned pass put it. Whole set: program, feed, voltage
 * and travel of the other; feed only: the other's program on the source, travel as assigned;
 * half-way: the other's program trimmed half-way back.
 */
export function wrongSet(assigned: SetPoint, other: SetPoint, severity: Severity): SetPoint {
  const share = severity === 'half-way' ? 0.5 : 1;
  const towards = (from: number, to: number, by = share): number => from + by * (to - from);
  return {
    ...assigned,
    name: `${other.name} for ${assigned.name}`,
    program: other.program,
    transfer: other.transfer,
    wireFeedMmS: towards(assigned.wireFeedMmS, other.wireFeedMmS),
    tipVoltageV: towards(assigned.tipVoltageV, other.tipVoltageV),
    travelMmS: towards(assigned.travelMmS, other.travelMmS, severity === 'feed only' ? 0 : share),
  };
}

/** A pass from before its gas until it has welded `lengthMm`, as frames of 20 ms. */
export function simulatedPass(setPoint: SetPoint, options: SimulatedPassOptions): SampleChunk {
  return weldedPass(setPoint, options).chunk;
}

export interface SimulatedPassOptions {
  readonly seed: number;
  readonly lengthMm?: number;
  readonly faults?: readonly Fault[];
  readonly settings?: Partial<RigSettings>;
}

export interface WeldedPass {
  readonly chunk: SampleChunk;
  /** True run-out at the end of each frame, mm. */
  readonly alongMm: Float64Array;
}

/** The same with what truly was welded. */
export function weldedPass(setPoint: SetPoint, options: SimulatedPassOptions): WeldedPass {
  const { seed, lengthMm = 60, faults = [] } = options;
  const program = new RigProgram({
    settings: { ...SETTINGS, ...options.settings },
    seed,
    setPoints: EXAMPLE_PASSES,
    passes: [
      { joint: 'J-1', side: 'B' as const, setPoint, startsAtS: 0.5, startDegrees: 0, lengthMm, faults },
    ][Symbol.iterator](),
    announceAheadS: 0.2,
    frameMs: FRAME_MS,
  });
  const tUs: number[] = [];
  const alongMm: number[] = [];
  const columns = Object.fromEntries(CHANNELS.map(channel => [channel, [] as number[]])) as Record<
    (typeof CHANNELS)[number],
    number[]
  >;
  for (let afterEnd = 0; afterEnd < 5; ) {
    const { startUs, reported, truth } = program.nextFrame();
    tUs.push(startUs);
    alongMm.push(truth.alongMm);
    for (const channel of CHANNELS) columns[channel].push(reported[channel] ?? Number.NaN);
    if (program.ended) afterEnd++;
  }
  const chunk: SampleChunk = {
    n: tUs.length,
    tUs: Float64Array.from(tUs),
    lengthUs: new Float64Array(tUs.length).fill(FRAME_MS * 1000),
    columns: Object.fromEntries(CHANNELS.map(channel => [channel, Float64Array.from(columns[channel])])),
  };
  return { chunk, alongMm: Float64Array.from(alongMm) };
}

/** The same recording from a device without some of its channels. */
export function without(chunk: SampleChunk, ...channels: readonly Channel[]): SampleChunk {
  const kept = Object.entries(chunk.columns).filter(([channel]) => !channels.includes(channel as Channel));
  return { ...chunk, columns: Object.fromEntries(kept) };
}

import type { Fault, FaultKind } from '../../../simulator/faults/fault.ts';
import { randomStream } from '../../../simulator/random/random-streams.ts';
import { FrameMaker } from '../../../simulator/rig/frame-maker.ts';
import type { RigFrame } from '../../../simulator/rig/rig-frame.ts';
import { RigModel, type Tick } from '../../../simulator/rig/rig-model.ts';
import { LEAD_OHM, type RigSettings } from '../../../simulator/rig/rig-settings.ts';
import type { SetPoint } from '../../../simulator/rig/set-point.ts';
import { EXAMPLE_PASSES } from '../../../simulator/scenario/example-passes.ts';

export const RIG: RigSettings = {
  id: 'rig-a',
  side: 'A',
  outsideDiameterMm: 610,
  wallThicknessMm: 15.9,
  bandRadiusMm: 325,
  referenceRadiusMm: 325,
  voltageTap: 'tip',
  feedSensor: 'motor',
  leadOhm: LEAD_OHM,
  preheatCel: 110,
  airCel: 15,
};

export const FILL = EXAMPLE_PASSES.find(pass => pass.name === 'fill 1')!;

export function fault(kind: FaultKind, size: number, more: Partial<Fault> = {}): Fault {
  return { kind, size, fromMm: 0, toMm: null, rampMm: 0, otherPass: null, channel: null, ...more };
}

export interface SteadyOptions {
  readonly setPoint?: SetPoint;
  readonly settings?: Partial<RigSettings>;
  readonly faults?: readonly Fault[];
  readonly seed?: number;
  /** Welding time that is averaged, after 2 s to settle, s. */
  readonly seconds?: number;
}

export interface Steady {
  readonly frames: readonly RigFrame[];
  readonly reported: (channel: keyof RigFrame['reported']) => number;
  readonly truth: (value: keyof RigFrame['truth']) => number;
  /** Standard deviation of the frames' reported values. */
  readonly spread: (channel: keyof RigFrame['reported']) => number;
}

/** A rig in the middle of a pass, as 20 ms frames. */
export function weldSteadily(options: SteadyOptions = {}): Steady {
  const settings = { ...RIG, ...options.settings };
  const seed = options.seed ?? 1;
  const model = new RigModel(settings, seed, new Map(EXAMPLE_PASSES.map(pass => [pass.name, pass])));
  model.select({
    joint: 'J-1',
    side: settings.side,
    setPoint: options.setPoint ?? FILL,
    startsAtS: 0,
    startDegrees: 0,
    lengthMm: 1e6,
    faults: options.faults ?? [],
  });
  const maker = new FrameMaker(model, randomStream(seed, settings.id, 'readings'));
  model.tick(true);
  for (let ms = 0; ms < 4000; ms++) model.tick(false);
  const frames: RigFrame[] = [];
  for (let i = 0; i < (options.seconds ?? 8) * 50; i++) {
    const ticks: Tick[] = [];
    for (let ms = 0; ms < 20; ms++) ticks.push(model.tick(false));
    frames.push(maker.frameOf(ticks, 4_000_000 + i * 20_000));
  }
  const mean = (values: readonly number[]) => values.reduce((sum, x) => sum + x, 0) / values.length;
  return {
    frames,
    reported: channel => mean(frames.map(frame => frame.reported[channel]!)),
    truth: value => mean(frames.map(frame => frame.truth[value])),
    spread: channel => {
      const values = frames.map(frame => frame.reported[channel]!);
      const middle = mean(values);
      return Math.sqrt(mean(values.map(x => (x - middle) ** 2)));
    },
  };
}

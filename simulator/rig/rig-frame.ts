import type { Channel } from '#core/sample/channels';
import type { SequencePhase } from './pass-sequence.ts';

/** What truly was, as means over the frame (totals where the name says so). */
export interface TrueValues {
  readonly currentA: number;
  /** Between tip and work. */
  readonly voltageV: number;
  readonly powerW: number;
  readonly feedMmS: number;
  /** At the weld. */
  readonly travelMmS: number;
  readonly alongMm: number;
  readonly ctwdMm: number;
  readonly arcLengthMm: number;
  readonly gasLPerMin: number;
  readonly temperatureCel: number;
}

/** One averaging interval as a measuring device reports it. */
export interface DeviceFrame {
  /** Simulated time at the start of the interval, µs. */
  readonly startUs: number;
  readonly lengthUs: number;
  readonly reported: { readonly [K in Channel]?: number };
  /** The device was dead: this frame was never sent. */
  readonly silent: boolean;
}

/** One averaging interval of a rig: what it reports, and what truly was. */
export interface RigFrame extends DeviceFrame {
  readonly phase: SequencePhase;
  readonly truth: TrueValues;
}

/** Bits of the reported status word. */
export const STATUS_BITS = { gas: 1, output: 2, feeding: 4, travelling: 8, oscillating: 16 } as const;

/**
 * From a device's number to a value in the channel's own unit, quantised once.
 *
 * value = round(raw × multiply + add) ÷ stepsPerUnit, the same double that quantise() gives.
 */
import { CHANNELS, type Channel } from '../sample/channels.ts';
import { convert } from '../units/ucum.ts';

export interface ValueScaling {
  readonly channel: Channel;
  readonly multiply: number;
  readonly add: number;
  readonly stepsPerUnit: number;
  /** Whole numbers are already steps: no rounding needed. */
  readonly direct: boolean;
  readonly min: number;
  readonly max: number;
  /** An impossible value makes the whole sample worthless, not just the value. */
  readonly rejectsSample: boolean;
}

/**
 * What cannot be on a welding circuit. Current and voltage: the limits of the replay contract; power is their
 * product; temperature is bounded by absolute zero; the rest only by what the store can hold.
 */
const POSSIBLE: { readonly [K in Channel]?: readonly [number, number] } = {
  weldingCurrent: [-2000, 2000],
  arcVoltage: [-200, 200],
  power: [-400_000, 400_000],
  temperature: [-273.15, 100_000],
};
const STORABLE = [-1e9, 1e9] as const;

/** Least and greatest value of a channel that can be true, in its unit. */
export const possibleRange = (channel: Channel): readonly [number, number] => POSSIBLE[channel] ?? STORABLE;

/**
 * `scale` × raw is a value in `unit` (a UCUM code).
 * Throws RangeError when `unit` is unknown or does not measure what the channel measures.
 */
export function scalingOf(channel: Channel, unit: string, scale: number): ValueScaling {
  const own = CHANNELS[channel];
  const stepsPerUnit = Math.round(1 / own.resolution);
  const zero = convert(0, unit, own.unit);
  const multiply = snap((convert(1, unit, own.unit) - zero) * scale * stepsPerUnit);
  const add = snap(zero * stepsPerUnit);
  if (!Number.isFinite(multiply) || multiply === 0 || !Number.isFinite(add)) {
    throw new RangeError(`scale ${scale} of ${channel} is not usable`);
  }
  const [min, max] = possibleRange(channel);
  return {
    channel,
    multiply,
    add,
    stepsPerUnit,
    direct: multiply === 1 && add === 0,
    min,
    max,
    rejectsSample: channel === 'weldingCurrent' || channel === 'arcVoltage',
  };
}

/** The value of one raw number; not checked against what is possible. */
export function scaled(scaling: ValueScaling, raw: number): number {
  // + 0: no minus zero.
  return (Math.round(raw * scaling.multiply + scaling.add) + 0) / scaling.stepsPerUnit;
}

/** Smallest step of the values that this scaling gives, in the channel's unit. */
export function resolutionOf(scaling: ValueScaling): number {
  return Math.max(1, Math.abs(scaling.multiply)) / scaling.stepsPerUnit;
}

/** The raw integers, lowest and highest, that give a possible value; between `from` and `to`. */
export function possibleRaw(scaling: ValueScaling, from: number, to: number): { lo: number; hi: number } {
  const rawOf = (value: number): number => (value * scaling.stepsPerUnit - scaling.add) / scaling.multiply;
  let lo = Math.max(from, Math.ceil(rawOf(scaling.min)) - 1);
  let hi = Math.min(to, Math.floor(rawOf(scaling.max)) + 1);
  while (lo <= hi && scaled(scaling, lo) < scaling.min) lo++;
  while (hi >= lo && scaled(scaling, hi) > scaling.max) hi--;
  return { lo, hi };
}

/** Unit factors are exact decimals, their products in doubles are not quite: 0.1 × 10 must be 1. */
function snap(value: number): number {
  const near = Math.round(value);
  return Math.abs(value - near) <= 1e-9 * Math.max(1, Math.abs(value)) ? near : value;
}

/**
 * The wire feeder: the motor follows its set-point as a first-order lag, the wire follows the rolls.
 *
 *   dF/dt = (F_set − F)/τ      true feed = F·(1 − slip)
 *
 * τ = 60 ms for a printed-armature feed motor with its wire (common practice, no source). An encoder on the
 * motor does not see slip; a measuring wheel on the wire does.
 */
export type WireFeedSensor = 'motor' | 'wire';

export const FEED_TIME_CONSTANT_S = 0.06;

export function laggedFeedMmS(nowMmS: number, targetMmS: number, stepS: number): number {
  return nowMmS + ((targetMmS - nowMmS) * stepS) / FEED_TIME_CONSTANT_S;
}

export function trueFeedMmS(motorMmS: number, slip: number): number {
  return motorMmS * (1 - slip);
}

export function reportedFeedMmS(sensor: WireFeedSensor, motorMmS: number, slip: number): number {
  return sensor === 'motor' ? motorMmS : trueFeedMmS(motorMmS, slip);
}

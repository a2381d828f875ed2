/** Parts that the causes of the catalogue are written with: titles, thresholds, phrases, what follows from what. */

import type { ChangeEvidence } from './change-evidence.ts';
import type { Sign, Signs } from './looks-like-signs.ts';
import { type Expectation, percent, type Remark } from './looks-like-weigh.ts';

/** In this order where nothing tells two apart (common practice, no source). Titles for screens. */
export const CAUSES = {
  wrongPass: 'wrong pass',
  stickOutLonger: 'stick-out longer',
  stickOutShorter: 'stick-out shorter',
  slipAtMotor: 'wire slip, feed read at the motor',
  slipOnWire: 'wire slip, feed read on the wire',
  feedSet: 'wire feed set otherwise',
  wornTip: 'worn contact tip',
  gasOrDraught: 'gas lost or draught',
  badEarth: 'bad earth or joint in a lead',
  voltageSet: 'voltage set otherwise',
  travelSet: 'travel set otherwise or slipping',
  wireSize: 'wrong wire size',
  sensor: 'one sensor drifts',
} as const;

/** A cause is weighed only where the sign that shows it best is this far off, standard deviations. */
export const SHOWS = 1;
/** A constant-voltage source gives 1–5 V less for every 100 A more (common practice, no source): middle, and how far it may be off. */
export const SOURCE_OHM = 0.03;
export const SOURCE_WITHIN = 0.67;
/** What was wrong from the start of the pass shows within this length, mm. */
export const FROM_THE_START_MM = 50;

export const any: Expectation = { kind: 'any' };
export const moves = (z: number, within: number, because?: string): Expectation =>
  because === undefined ? { kind: 'moves', z, within } : { kind: 'moves', z, within, because };
export const up = (atOnce: boolean, because?: string): Expectation =>
  because === undefined ? { kind: 'up', atOnce } : { kind: 'up', atOnce, because };

export const shows = (sign: Sign | null, way: -1 | 0 | 1): sign is Sign =>
  sign !== null && (way === 0 ? Math.abs(sign.z) : sign.z * way) >= SHOWS;
export const fits = (sign: Sign): Expectation => moves(sign.z, 0);

/** "growing for 180 mm" */
export function howLong({ shape, lengthMm }: ChangeEvidence): string {
  const since = lengthMm === null ? '' : ` for ${lengthMm.toFixed(0)} mm`;
  return shape === 'ramp' ? `, growing${since}` : `,${since || ' at once'}`;
}

export const shapeRemark = (evidence: ChangeEvidence, step: number, ramp: number): Remark => ({
  points: evidence.shape === 'step' ? step : ramp,
  text: evidence.shape === 'step' ? 'it came at once' : 'it grows slowly',
});

export function startRemark({ onsetMm }: ChangeEvidence, from: number, later: number): Remark[] {
  if (onsetMm === undefined || onsetMm === null) return [];
  return onsetMm <= FROM_THE_START_MM
    ? [{ points: from, text: `there from the start of the pass (${Math.max(0, onsetMm).toFixed(0)} mm)` }]
    : [{ points: later, text: `not there in the first ${onsetMm.toFixed(0)} mm of the pass` }];
}

/** What the voltage does where the current changes by itself: a constant-voltage source gives a little more for less. */
export function voltageFollows(signs: Signs): Expectation {
  const { voltage } = signs.of;
  const currentChange = signs.of.current?.change ?? 0;
  if (voltage === null || voltage.sigma === null) return any;
  const because = `a constant-voltage source gives ${currentChange < 0 ? 'more for less' : 'less for more'} current`;
  return moves((-SOURCE_OHM * currentChange) / voltage.sigma, SOURCE_WITHIN, because);
}

export const currentWords = (sign: Sign, signs: Signs): string =>
  signs.line === null
    ? `Current ${percent(sign.share)} ${sign.change < 0 ? 'lower' : 'higher'} than on good welds`
    : `Current ${percent(sign.share)} ${sign.change < 0 ? 'below' : 'above'} the burn-off line at the feed read`;

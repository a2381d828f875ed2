import { type Answer, NOT_NEGATIVE, outOfRange, value } from '../calculations/answer.ts';

/**
 * Shielding gas used, L = flow × (arc time + flow before and after the arc at each start); L/min and s. Source: flow × time.
 * Errors: out of range for negative inputs.
 */
export function gasUseL(input: {
  readonly flowLPerMin: number;
  readonly arcTimeS: number;
  readonly starts: number;
  readonly beforeAndAfterS: number;
}): Answer {
  return (
    outOfRange(
      ['gas flow', input.flowLPerMin, 'L/min', { min: 0, max: 200 }],
      ['arc time', input.arcTimeS, 's', NOT_NEGATIVE],
      ['starts', input.starts, '1', NOT_NEGATIVE],
      ['gas before and after the arc', input.beforeAndAfterS, 's', NOT_NEGATIVE],
    ) ?? value((input.flowLPerMin * (input.arcTimeS + input.starts * input.beforeAndAfterS)) / 60)
  );
}

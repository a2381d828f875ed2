import { type Answer, outOfRange, POSITIVE, value } from '../calculations/answer.ts';

/**
 * What an average run length means in passes, for windows that are independent. A run length is memoryless to a good approximation
 * once it is long, so a good pass of m windows on c channels is called falsely with p = 1 − exp(−m·c/ARL₀).
 * Source: geometric run length (Montgomery, Statistical Quality Control, 9.1). Errors: out of range unless all are positive.
 */
export function falseCalls(input: {
  readonly runLengthInControl: number;
  readonly windowsPerPass: number;
  readonly channels: number;
}): Answer<{ readonly perPass: number; readonly onePassIn: number }> {
  const wrong = outOfRange(
    ['average run length', input.runLengthInControl, '1', POSITIVE],
    ['windows a pass', input.windowsPerPass, '1', POSITIVE],
    ['channels', input.channels, '1', POSITIVE],
  );
  if (wrong !== null) return wrong;
  const perPass = -Math.expm1((-input.windowsPerPass * input.channels) / input.runLengthInControl);
  return value({ perPass, onePassIn: 1 / perPass });
}

/**
 * What a choice of settings does, computed before anyone lives with it: how often a good pass is called
 * falsely, and how far the weld runs before a change is seen. From average run lengths of independent normal
 * window means; neighbouring windows of real welds go together, so the measured rate stands beside it.
 */
import type { Answer } from '../calculations/answer.ts';
import { ewmaRunLength } from './ewma-run-length.ts';
import { falseCalls } from './false-calls.ts';
import { weldCusumRunLength } from './weld-cusum-run-length.ts';

/** Changes whose detection is shown, in standard deviations of good window means. */
export const SHOWN_SHIFTS = [1, 2, 4] as const;

export interface ChartEffect {
  /** Windows of a good weld until a false call on one channel; null: longer than can be computed, above 10¹². */
  readonly windowsToFalseCall: number | null;
  /** Good passes of a hundred that are called falsely, all channels together. */
  readonly falseCallsPer100Passes: number;
  readonly shifts: readonly {
    readonly sigma: number;
    /** Windows until the change is called, on average; null: longer than can be computed. */
    readonly windows: number | null;
    readonly weldMm: number | null;
  }[];
}

export interface SettingsEffect {
  readonly cusum: ChartEffect;
  readonly ewma: ChartEffect;
  /** Passes of a hundred with a good window beyond the pattern's limit; a call takes two in a row, so fewer are called. */
  readonly patternFalseCallsPer100Passes: number;
  readonly assumed: {
    readonly windowsPerPass: number;
    readonly windowMm: number;
    readonly channels: number;
  };
}

/**
 * `windowsPerPass` windows of `windowMm` of weld on `channels` channels. Run lengths: weld-cusum-run-length.ts,
 * ewma-run-length.ts; passes: false-calls.ts; pattern: 1 − cⁿ. Settings outside the range of the run lengths
 * give null there.
 */
export function effectOf(
  settings: {
    readonly k: number;
    readonly h: number;
    readonly lambda: number;
    readonly width: number;
    readonly patternConfidence: number;
  },
  assumed: SettingsEffect['assumed'],
): SettingsEffect {
  const { k, h, lambda, width, patternConfidence } = settings;
  return {
    cusum: chartEffect(shift => weldCusumRunLength({ k, h, shift }), assumed),
    ewma: chartEffect(shift => ewmaRunLength({ lambda, width, shift }), assumed),
    patternFalseCallsPer100Passes: -100 * Math.expm1(assumed.windowsPerPass * Math.log(patternConfidence)),
    assumed,
  };
}

function chartEffect(
  runLength: (shift: number) => Answer,
  { windowsPerPass, windowMm, channels }: SettingsEffect['assumed'],
): ChartEffect {
  const lengthAt = (shift: number): number | null => {
    const answer = runLength(shift);
    return answer.kind === 'value' ? answer.value : null;
  };
  const windowsToFalseCall = lengthAt(0);
  const calls =
    windowsToFalseCall === null
      ? null
      : falseCalls({ runLengthInControl: windowsToFalseCall, windowsPerPass, channels });
  return {
    windowsToFalseCall,
    falseCallsPer100Passes: calls?.kind === 'value' ? 100 * calls.value.perPass : 0,
    shifts: SHOWN_SHIFTS.map(sigma => {
      const windows = lengthAt(sigma);
      return { sigma, windows, weldMm: windows === null ? null : windows * windowMm };
    }),
  };
}

import { describe, expect, it } from 'vitest';
import { DEFAULT_DRIFT_SETTINGS } from '#core/drift/drift-settings';
import { effectOf } from '#core/drift/effect-of';

const assumed = { windowsPerPass: 40, windowMm: 25, channels: 5 };

describe('what settings do', () => {
  it('says the run lengths of the published tables, in windows and in weld', () => {
    // Lucas & Saccucci, Technometrics 32 (1990), table 3, as printed in the examples of CRAN's spc (λ = 0.5, L = 3.071):
    // 500 in control, 17.5 at 1 σ.
    const effect = effectOf(
      { ...DEFAULT_DRIFT_SETTINGS, k: 0.5, h: 4, lambda: 0.5, width: 3.071 },
      { ...assumed, windowMm: 30 },
    );
    // Montgomery, Statistical Quality Control, table 9.3, from memory (k = 0.5, h = 4): 168 in control, 8.38 at 1 σ,
    // 3.34 at 2 σ, looking once a window; the chart looks every step, so it calls sooner and falsely more often.
    const [one, two] = effect.cusum.shifts;
    expect(effect.cusum.windowsToFalseCall).toBeLessThan(168);
    expect(effect.cusum.windowsToFalseCall).toBeGreaterThan(168 / 4);
    expect(one?.windows).toBeLessThan(8.38);
    expect(two?.windows).toBeLessThan(3.34);
    expect(two?.windows).toBeGreaterThan(3.34 / 2);
    expect(one?.weldMm).toBeCloseTo(one!.windows! * 30, 9);
    expect(Math.abs(effect.ewma.windowsToFalseCall! - 500)).toBeLessThan(2.5);
    expect(effect.ewma.shifts[0]?.windows).toBeCloseTo(17.5, 1);
  });

  it('counts good passes called falsely over all channels, as a run without memory would', () => {
    const { cusum } = effectOf({ ...DEFAULT_DRIFT_SETTINGS, k: 0.5, h: 4 }, assumed);
    // 1 − (1 − 1/ARL)^(windows × channels), the geometric run length, to the rate of its exponential form.
    const plain = 100 * (1 - (1 - 1 / cusum.windowsToFalseCall!) ** (40 * 5));
    expect(Math.abs(cusum.falseCallsPer100Passes - plain)).toBeLessThan(0.5);
  });

  it('a pattern confidence is a share of windows', () => {
    const effect = effectOf({ ...DEFAULT_DRIFT_SETTINGS, patternConfidence: 0.999 }, assumed);
    expect(effect.patternFalseCallsPer100Passes).toBeCloseTo(100 * (1 - 0.999 ** 40), 9);
  });

  it('the settings as shipped call about one good pass in a hundred on five channels, windows being independent', () => {
    expect(effectOf(DEFAULT_DRIFT_SETTINGS, assumed).cusum.falseCallsPer100Passes).toBeLessThan(1.5);
  });
});

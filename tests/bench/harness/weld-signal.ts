/** An invented weld for the benchmarks: arcs of a minute, breaks between them, noise; the same for a seed. */
import { type SampleChunk, sliceChunk } from '#core/sample/chunk';

export function seededRandom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

const ARC_S = 60;
const BREAK_S = 20;
/** After this long the invented weld begins anew. */
export const PERIOD_S = ARC_S + BREAK_S;

/** `n` samples of the four channels, quantised as a decoder leaves them. */
export function weldSignal(n: number, rateHz: number, seed = 1): SampleChunk {
  const random = seededRandom(seed);
  const lengthUs = 1e6 / rateHz;
  const column = (): Float64Array => new Float64Array(n);
  const tUs = column();
  const weldingCurrent = column();
  const arcVoltage = column();
  const wireFeedSpeed = column();
  const travelSpeed = column();
  let dropOut = 0;
  for (let i = 0; i < n; i++) {
    const s = (i / rateHz) % PERIOD_S;
    const on = s >= 5 && s < ARC_S + 5;
    // Now and then the arc fails for a tenth of a second and comes back.
    if (on && dropOut === 0 && random() < 0.05 / rateHz) dropOut = Math.round(rateHz / 10);
    const burning = on && dropOut === 0;
    if (dropOut > 0) dropOut--;
    tUs[i] = i * lengthUs;
    weldingCurrent[i] = burning ? Math.round(2360 + 300 * (random() - 0.5)) / 10 : 0;
    arcVoltage[i] = burning ? Math.round(2400 + 300 * (random() - 0.5)) / 100 : on ? 60 : 0;
    wireFeedSpeed[i] = on ? Math.round(17_120 + 200 * (random() - 0.5)) / 100 : 0;
    travelSpeed[i] = on ? Math.round(3750 + 50 * (random() - 0.5)) / 500 : 0;
  }
  return {
    n,
    tUs,
    lengthUs: column().fill(lengthUs),
    columns: { weldingCurrent, arcVoltage, wireFeedSpeed, travelSpeed },
  };
}

/** Second number `second` of a weld that goes on and on, cut from one period of it; record time from `startUs` on. */
export function weldSecond(period: SampleChunk, rateHz: number, second: number, startUs = 0): SampleChunk {
  const from = (second % PERIOD_S) * rateHz;
  const { lengthUs, columns } = sliceChunk(period, from, from + rateHz);
  return {
    n: rateHz,
    tUs: Float64Array.from({ length: rateHz }, (_, i) => startUs + second * 1e6 + (i * 1e6) / rateHz),
    lengthUs,
    columns,
  };
}

/** A device whose time is wrong, a line that loses bytes, a computer that is busy: what was not measured stays to be seen. */
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { Timeline } from '#core/frame/timeline';

const FRAME_US = 100_000;
const SAMPLES = 10;
/** What the engine takes for a gap at 100 Hz, and what is missing here so often that it has to be one. */
const GAP_US = 250_000;
const MISSING_US = 1_000_000;

/** What goes wrong before a run of frames. */
const trouble = fc.record({
  kind: fc.constantFrom('nothing', 'framesLost', 'cablePulled', 'deviceOff'),
  seconds: fc.double({ min: MISSING_US / 1e6, max: 30, noNaN: true }),
  /** The computer reads nothing for so long, then everything at once. */
  busyS: fc.constantFrom(0, 0, 0, 0.4, 1.5),
  frames: fc.constantFrom(1, 10, 100, 600),
});

it('time missing is a gap in record time, however fast or slow the device counts', () => {
  const rate = fc.oneof(
    fc.double({ min: 0.97, max: 1.03, noNaN: true }),
    fc.constantFrom(1, 1.0001, 0.9999, 2),
  );
  fc.assert(
    fc.property(rate, fc.array(trouble, { minLength: 1, maxLength: 40 }), (perSecond, troubles) => {
      const timeline = new Timeline(true, 2 * GAP_US);
      /** True time, and the device's own: microseconds since it was switched on. */
      let trueUs = 5e6;
      let onSinceUs = 0;
      let lastEndUs: number | null = null;
      let overlapUs = 0;
      let arrivalUs = 0;
      const deviceUs = (): number => Math.round((trueUs - onSinceUs) * perSecond) % 2 ** 32;
      let unwrappedFromUs = deviceUs();
      let connectedTrueUs = trueUs;
      for (const { kind, seconds, busyS, frames } of troubles) {
        const missing = kind !== 'nothing';
        if (missing) trueUs += seconds * 1e6;
        if (kind === 'deviceOff') {
          onSinceUs = trueUs - 1000;
          timeline.restart();
        }
        if (kind === 'cablePulled') timeline.reconnect();
        if (kind === 'cablePulled' || kind === 'deviceOff') {
          // A decoder counts on from the 32-bit time of the first frame of a connection or a run.
          unwrappedFromUs = deviceUs();
          connectedTrueUs = trueUs;
        }
        const readAgainUs = trueUs + busyS * 1e6;
        for (let f = 0; f < frames; f++) {
          const from = unwrappedFromUs + Math.round((trueUs - connectedTrueUs) * perSecond);
          const tUs = Float64Array.from({ length: SAMPLES }, (_, k) => from + (k * FRAME_US) / SAMPLES);
          const lengthUs = new Float64Array(SAMPLES).fill(FRAME_US / SAMPLES);
          trueUs += FRAME_US / perSecond;
          arrivalUs = Math.max(arrivalUs, 1e9 + Math.round(Math.max(trueUs, readAgainUs)));
          timeline.place({ n: SAMPLES, tUs, lengthUs, columns: {} }, arrivalUs);
          if (lastEndUs !== null) {
            // Frames touch but for the rounding of the device's time.
            overlapUs = Math.max(overlapUs, lastEndUs - tUs[0]!);
            if (f === 0 && missing) expect(tUs[0]! - lastEndUs, kind).toBeGreaterThan(GAP_US);
          }
          lastEndUs = tUs[SAMPLES - 1]! + FRAME_US / SAMPLES;
        }
      }
      expect(overlapUs).toBeLessThan(FRAME_US / SAMPLES);
    }),
    { numRuns: 150 },
  );
});

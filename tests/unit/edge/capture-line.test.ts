import { beforeEach, expect, it } from 'vitest';
import { CaptureBench, T0 } from './capture-bench.ts';

let bench: CaptureBench;
beforeEach(() => {
  bench = new CaptureBench();
});

const lost = (): number[] =>
  bench.recorded.filter(({ type }) => type === 'framesLost').map(({ data }) => Number(data['count']));
const restarts = (): (readonly [unknown, unknown])[] =>
  bench.recorded
    .filter(({ type }) => type === 'deviceRestart')
    .map(({ data }) => [data['cause'], data['times']]);

it('a line that loses frames all the time is on record every second, with every frame counted', () => {
  for (let k = 0; k < 100; k++) {
    bench.capture.onFramesLost(2, T0 * 1000 + bench.ms * 1000);
    bench.weld(0.1, 180);
  }
  bench.weld(2, 180);
  expect(lost().length).toBeLessThanOrEqual(11);
  expect(lost().reduce((sum, count) => sum + count, 0)).toBe(200);
  const times = bench.recorded.map(({ type, data }) => (type === 'framesLost' ? Number(data['times']) : 0));
  expect(times.reduce((sum, n) => sum + n, 0)).toBe(100);
  // The first is told at once: somebody may be looking for it.
  expect(lost()[0]).toBe(2);
});

it('what was lost last is on record when the edge stops', () => {
  bench.capture.onFramesLost(1, T0 * 1000);
  bench.capture.onFramesLost(3, T0 * 1000);
  bench.capture.finish();
  expect(lost()).toEqual([1, 3]);
});

it('a device that begins again with every frame does not fill the record, and each is counted', () => {
  bench.capture.onRestart('bootChanged', T0 * 1000);
  for (let k = 0; k < 600; k++) {
    bench.capture.onRestart('reanchored', T0 * 1000 + bench.ms * 1000);
    bench.wait(0.1);
  }
  bench.capture.finish();
  expect(restarts()[0]).toEqual(['bootChanged', 1]);
  const placed = restarts().filter(([cause]) => cause === 'reanchored');
  expect(placed.length).toBeLessThanOrEqual(8);
  expect(placed.reduce((sum, [, times]) => sum + Number(times), 0)).toBe(600);
});

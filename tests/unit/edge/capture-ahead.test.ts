import { beforeEach, describe, expect, it } from 'vitest';
import { CaptureBench, T0 } from './capture-bench.ts';

let bench: CaptureBench;
beforeEach(() => {
  bench = new CaptureBench();
});

describe('what the edge tells of a device whose time runs fast', () => {
  it('tells no earlier record time when a device that runs ahead falls silent', () => {
    // As in the benchmark of an hour at ten times the speed: after ten seconds a device is ninety ahead.
    bench.ahead(90);
    bench.weld(3, 180);
    bench.state('stalled');
    bench.wait(30);
    bench.state('streaming');
    bench.weld(3, 180);
    const times = bench.lives.map(({ tUs }) => tUs);
    for (let i = 1; i < times.length; i++) expect(times[i]).toBeGreaterThanOrEqual(times[i - 1]!);
  });

  it('shows data again at once when record time goes on sooner than the silence lasted', () => {
    bench.weld(3, 180);
    bench.wait(60);
    expect(bench.lives.at(-1)!.arc).toBe('noData');
    // Of a device that runs ahead a gap is up to a tenth shorter in record time.
    bench.ahead(-6);
    bench.weld(1, 180);
    expect(bench.lives.at(-1)!.arc).toBe('on');
    expect(bench.lives.at(-1)!.values.weldingCurrent).not.toBeNull();
  });

  it('says by how much a device runs ahead, on record', () => {
    bench.capture.onAhead(4_002_000, T0 * 1000);
    expect(bench.eventTexts.at(-1)).toBe(
      'the time of the device runs too fast: its samples are dated 4 s later than they were measured',
    );
  });
});

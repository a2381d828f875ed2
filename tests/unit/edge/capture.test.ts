import { beforeEach, describe, expect, it } from 'vitest';
import type { ProcedurePass } from '#core/procedure/procedure';
import { CaptureBench, T0 } from './capture-bench.ts';

let bench: CaptureBench;
beforeEach(() => {
  bench = new CaptureBench();
});

describe('what the edge tells', () => {
  it('shows the arc and its values while samples come', () => {
    bench.weld(3, 180);
    const live = bench.lives.at(-1)!;
    expect(live.arc).toBe('on');
    expect(live.values.weldingCurrent).toBeCloseTo(183, 0);
    expect(live.pass?.arcTimeS).toBeGreaterThan(2.5);
    expect(bench.causes).toEqual([]);
    expect(bench.eventTypes).toContain('arcStart');
  });

  it('never shows a last value as live: after 2 s without a sample everything is unknown', () => {
    bench.weld(3, 180);
    bench.wait(1.9);
    expect(bench.lives.at(-1)!.values.weldingCurrent).not.toBeNull();
    bench.wait(0.3);
    const live = bench.lives.at(-1)!;
    expect(live.arc).toBe('noData');
    expect(Object.values(live.values).every(value => value === null)).toBe(true);
    expect(live.outOfRange).toEqual([]);
  });

  it('arc on and no data for more than 2 s is a HIGH alarm until data comes again', () => {
    bench.weld(3, 180);
    bench.state('stalled');
    bench.wait(1.9);
    expect(bench.causes).toEqual([]);
    bench.wait(0.3);
    expect(bench.causes).toEqual(['high noDataWithArc']);
    const count = bench.alarms.length;
    bench.wait(20);
    // The same alarm is not told over and over.
    expect(bench.alarms).toHaveLength(count);
    bench.state('streaming');
    bench.weld(1, 180);
    expect(bench.causes).toEqual([]);
  });

  it('says since when there is no data, however often the line is opened again', () => {
    bench.weld(3, 180);
    const lastSample = bench.lives.at(-1)!.at;
    bench.state('stalled');
    bench.wait(3);
    bench.state('opening');
    bench.wait(1);
    bench.state('stalled');
    bench.wait(3);
    const { source, at } = bench.lives.at(-1)!;
    expect(Date.parse(source.since)).toBeCloseTo(Date.parse(lastSample), -3);
    expect(Date.parse(at) - Date.parse(source.since)).toBeGreaterThanOrEqual(7000);
    bench.state('streaming');
    bench.weld(0.1, 180);
    expect(Date.parse(bench.lives.at(-1)!.source.since)).toBeGreaterThanOrEqual(Date.parse(at));
  });

  it('no data with the arc out is no alarm: a rig that rests may be switched off', () => {
    bench.weld(3, 180);
    bench.weld(3, 0);
    bench.wait(10);
    expect(bench.causes).toEqual([]);
  });

  it('readings that stand still with current are a HIGH alarm as well', () => {
    bench.weld(3, 180);
    bench.weld(4, 180, false);
    expect(bench.lives.at(-1)!.arc).toBe('noData');
    expect(bench.causes).toEqual(['high noDataWithArc']);
  });

  it('recording failed is HIGH, a slow store MEDIUM, a link that stands LOW', () => {
    bench.recording = 'failed';
    bench.waiting = 30;
    bench.stuckMs = 10_001;
    bench.wait(0.1);
    expect(bench.causes).toEqual(['high recordingFailed', 'low buffering']);
    for (const { text, action } of bench.alarms.at(-1)!.conditions) {
      expect(text).toMatch(/\.$/);
      expect(action).toMatch(/\.$/);
    }
    bench.recording = 'lagging';
    bench.stuckMs = 9000;
    bench.wait(0.1);
    expect(bench.causes).toEqual(['medium storage']);
  });

  it('a pass that looks like another is a MEDIUM alarm with the likelier pass, while the arc burns', () => {
    const pass = (name: string, feedMmS: number, travelMmS: number): ProcedurePass => ({
      name,
      type: name,
      limits: [
        { quantity: 'wireFeedSpeed', unit: 'mm/s', basis: 'window', nominal: feedMmS, tolerancePercent: 7 },
        { quantity: 'travelSpeed', unit: 'mm/s', basis: 'window', nominal: travelMmS, tolerancePercent: 8 },
      ],
    });
    bench.capture.procedure({
      schema: 'girthlog.procedure/1',
      id: 'example',
      revision: 1,
      title: 'Example',
      exampleOnly: true,
      passes: [pass('fill', 160, 6), pass('cap', 100, 8)],
    });
    const at = new Date(T0).toISOString();
    const place = { joint: 'J-7', side: 'B' as const, pass: 'fill', outsideDiameterMm: 610, startDegrees: 0 };
    const work = { ...place, procedureId: 'example', procedureRevision: 1 };
    bench.capture.assignment({ origin: 'simulated', id: 'a1', at, author: 'p1', work });
    bench.weld(3, 180);
    expect(bench.lives.at(-1)!.passMismatch).toBeNull();
    bench.weld(2, 180);
    expect(bench.lives.at(-1)!.passMismatch).toMatchObject({ assigned: 'fill', likelier: ['cap'] });
    expect(bench.eventTypes.filter(type => type === 'passMismatch')).toHaveLength(1);
    const conditions = bench.alarms.at(-1)!.conditions.filter(({ cause }) => cause === 'passMismatch');
    expect(conditions).toMatchObject([
      {
        priority: 'medium',
        key: 'B:fill:passMismatch',
        text: 'Looks like cap, not fill: feed 6.0 m/min, travel 8.0 mm/s (joint J-7, side B, fill).',
      },
    ]);
    bench.wait(3);
    expect(bench.lives.at(-1)!.passMismatch).toBeNull();
    bench.weld(2, 0);
    expect(bench.causes).not.toContain('medium passMismatch');
  });

  it('stops recording what the source sends once it is halted', () => {
    bench.capture.halt();
    bench.weld(1, 180);
    expect(bench.lives.at(-1)!.arc).toBe('noData');
  });
});

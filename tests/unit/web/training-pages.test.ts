import { describe, expect, it } from 'vitest';
import type { TimelineItem } from '#core/messages/api-training';
import { injectSchema } from '#core/training/control';
import { timelineModel } from '../../../dashboard/web/charts/timeline-geometry.ts';
import { truthStrip } from '../../../dashboard/web/charts/truth-geometry.ts';
import { isThisComputer } from '../../../dashboard/web/data/this-computer.ts';
import { TrainerKey } from '../../../dashboard/web/data/trainer-key.ts';
import { parseRoute, type Route, routeUrl } from '../../../dashboard/web/routes.ts';
import { text } from '../../../dashboard/web/text/text.ts';
import { FAULT_KINDS, faultKind } from '../../../dashboard/web/views/training/fault-kinds.ts';
import {
  emptyInjection,
  injectionOf,
  wrongFields,
} from '../../../dashboard/web/views/training/injection-draft.ts';
import { typedSeed } from '../../../dashboard/web/views/training/open-lesson.tsx';
import { faultWords } from '../../../dashboard/web/views/training/training-words.ts';
import { FAULT_UNITS } from '../../../simulator/faults/fault.ts';
import { trainingMark, trainingWindow, utcAt } from '../../support/training-session.ts';

describe('the trainer’s link', () => {
  it('is offered for another device only where one could open it (loopback: RFC 5735 section 3, RFC 4291 section 2.5.3)', () => {
    for (const here of ['localhost', '127.0.0.1', '127.8.0.9', '[::1]'])
      expect(isThisComputer(here), here).toBe(true);
    for (const far of ['truck-1', '192.168.1.20', '10.127.0.0.1', '[fe80::1]', 'localhost.example'])
      expect(isThisComputer(far), far).toBe(false);
  });
});

describe('faults on the trainer’s screen', () => {
  it('are those of the simulator, each with its unit and in words', () => {
    // The simulator's own table (docs/simulator.md); a late start belongs to a timetable.
    for (const [name, unit] of Object.entries(FAULT_UNITS)) {
      const shown = unit === '1' ? null : unit === 'mOhm' ? 'mΩ' : unit;
      expect(faultKind(name)?.unit, name).toBe(shown);
      expect(text.value.training.fault[name], name).toMatch(/^[A-Z]/);
    }
    expect(FAULT_KINDS.map(({ name }) => name).sort()).toEqual(
      Object.keys(FAULT_UNITS)
        .filter(name => name !== 'lateStart')
        .sort(),
    );
    expect(faultWords({ fault: 'wireSize', size: 1.2 })).toBe('Another wire diameter on the spool, 1.2 mm');
    expect(faultWords({ fault: 'heldValue', size: 1 })).toBe('Device repeats its last reading');
  });

  it.each(FAULT_KINDS.map(({ name, size }) => [name, size] as const))(
    '%s as it first stands in the form is what the control accepts',
    (fault, size) => {
      const draft = { ...emptyInjection(), fault, size, otherPass: 'root' };
      expect([...wrongFields(draft)]).toEqual([]);
      expect(injectSchema.parse(injectionOf(draft, 'rig-a'))).toMatchObject({ fault, size: Number(size) });
    },
  );

  it('say which field is wrong, and an empty length is to the end of the pass', () => {
    const draft = { ...emptyInjection(), size: 'x', ramp: '-1', length: '0', fault: 'wrongPass' };
    expect([...wrongFields(draft)].sort()).toEqual(['length', 'otherPass', 'ramp', 'size']);
    expect(injectionOf({ ...emptyInjection(), length: ' ' }, 'rig-a').lengthMm).toBeNull();
  });
});

it('a seed is a whole number of 32 bits, or nothing for the lesson’s own', () => {
  expect(['', ' ', '0', '42', '4294967295'].map(typedSeed)).toEqual([null, null, 0, 42, 4294967295]);
  expect(['4294967296', '-1', '1.5', 'x', '1e3'].map(typedSeed)).toEqual(Array(5).fill(undefined));
});

it.each<Route>([
  { view: 'training' },
  { view: 'trainingTrainer' },
  { view: 'trainingSessions' },
  { view: 'trainingDebrief', id: 'a/b c' },
  { view: 'trends', site: 's', rig: 'r', spanS: 120, atMs: 1_778_580_180_000, debrief: 'a&b' },
])('the address of $view is read as it was written', route => {
  expect(parseRoute(routeUrl(route))).toEqual(route);
});

describe('the trainer’s key', () => {
  const tab = (hash: string) => {
    const kept = new Map<string, string>();
    const shown: string[] = [];
    const sessionStorage = {
      getItem: (key: string) => kept.get(key) ?? null,
      setItem: (key: string, value: string) => void kept.set(key, value),
      removeItem: (key: string) => void kept.delete(key),
    };
    const history = { replaceState: (_: unknown, __: string, url: string) => shown.push(url) };
    return { tab: { location: { hash }, history, sessionStorage } as unknown as Window, shown };
  };

  it('is taken out of the address, held over a reload of the tab, and given up when asked', () => {
    const { tab: link, shown } = tab('#/training/trainer?key=s%20ecret');
    expect(new TrainerKey(link).take()).toBe(true);
    expect(shown).toEqual(['#/training/trainer']);
    const reloaded = new TrainerKey(link);
    expect(reloaded.headers()).toEqual({ 'x-girthlog-trainer': 's ecret' });
    reloaded.drop();
    expect(new TrainerKey(link).headers()).toEqual({});
  });

  it('is not taken from any other address', () => {
    const { tab: other, shown } = tab('#/joints?key=secret');
    expect(new TrainerKey(other).take()).toBe(false);
    expect(shown).toEqual([]);
  });
});

describe('truth on the pipe unrolled', () => {
  const input = {
    windows: [
      trainingWindow('s1', 0, 10, { fromMm: 100, toMm: 200 }),
      trainingWindow('s2', 0, 10, { rig: 'rig-b', side: 'B', pass: 'root', fromMm: 100, toMm: null }),
    ],
    marks: [{ mark: trainingMark('m1', 5, { alongMm: 150 }), pass: 'fill 1' }],
    rigs: [{ rig: 'rig-b', pass: 'root', alongMm: 0 }],
    order: ['root', 'hot', 'fill 1'],
    frameOf: (rig: string) => ({
      side: rig === 'rig-a' ? ('A' as const) : ('B' as const),
      startDegrees: 0,
      outsideDiameterMm: 1000 / Math.PI,
    }),
    endMm: () => 500,
  };

  it('side A lies to the left of the right end, side B to the right of the left one, by geometry: 1000 mm around', () => {
    const { passes, windows, marks, rigs, unplaced } = truthStrip(input);
    expect(passes).toEqual(['fill 1', 'root']);
    expect(windows[0]!.row).toBe(0);
    expect(windows[0]!.pieces[0]!.from).toBeCloseTo(0.8, 9);
    expect(windows[0]!.pieces[0]!.to).toBeCloseTo(0.9, 9);
    expect(windows[1]!.pieces[0]!.from).toBeCloseTo(0.1, 9);
    expect(windows[1]!.pieces[0]!.to).toBeCloseTo(0.5, 9);
    expect(marks[0]!.share).toBeCloseTo(0.85, 9);
    expect(rigs[0]).toEqual({ rig: 'rig-b', row: 1, share: 0 });
    expect(unplaced).toBe(0);
  });

  it('what has no place is counted, not drawn', () => {
    const strip = truthStrip({ ...input, frameOf: () => null });
    expect([strip.windows, strip.marks, strip.rigs, strip.unplaced]).toEqual([[], [], [], 2]);
  });
});

it('one line of time: each side its own items in their lanes, alarms without a side on that of their rig', () => {
  const none = { until: null, rig: null, side: null, joint: null, pass: null, fromMm: null, toMm: null };
  const item = (kind: TimelineItem['kind'], atS: number, more: Partial<TimelineItem> = {}): TimelineItem => ({
    ...none,
    ref: null,
    text: null,
    kind,
    at: utcAt(atS),
    ...more,
  });
  const a = { rig: 'rig-a', side: 'A' } as const;
  const b = { rig: 'rig-b', side: 'B' } as const;
  const { sides, pauses, lengthS } = timelineModel({
    timeline: [
      item('truth', 10, { ...a, until: utcAt(30), ref: 'd1' }),
      item('drift', 20, a),
      item('mark', 50, b),
      item('alarm', 60, { rig: 'rig-b' }),
      item('truth', 80, { ...b, ref: 's1' }),
      item('note', 90),
      item('pause', 40, { until: utcAt(45) }),
    ],
    rigs: [a, b],
    windows: [
      { id: 'd1', kind: 'decoy' },
      { id: 's1', kind: 'signal' },
    ],
    startedAt: utcAt(0),
    endedAt: utcAt(100),
  });
  expect(lengthS).toBe(100);
  expect(sides.map(side => side.items.map(({ lane, from, to, kind }) => [lane, from, to, kind]))).toEqual([
    [
      ['truth', 0.1, 0.3, 'decoy'],
      ['calls', 0.2, 0.2, null],
    ],
    [
      ['marks', 0.5, 0.5, null],
      ['alarms', 0.6, 0.6, null],
      // It had not ended when the lesson did.
      ['truth', 0.8, 1, 'signal'],
    ],
  ]);
  expect(pauses).toEqual([{ from: 0.4, to: 0.45 }]);
});

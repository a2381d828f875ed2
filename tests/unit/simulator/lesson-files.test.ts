/** Lesson files: what is refused and where, and that the lessons that ship are what they say. */

import { describe, expect, it } from 'vitest';
import { ACTIONS } from '#core/training/names';
import exampleProcedure from '../../../simulator/demo/example-procedure.json' with { type: 'json' };
import { EXAMPLE_PASSES } from '../../../simulator/scenario/example-passes.ts';
import { ScenarioError } from '../../../simulator/scenario/load-scenario.ts';
import { lessonWindows, scenarioOfLesson, timetableS } from '../../../simulator/training/lesson-scenario.ts';
import { parseLesson } from '../../../simulator/training/load-lesson.ts';
import { shipped } from '../../support/lesson-bench.ts';
import { fault, weldSteadily } from './steady-rig.ts';

const HEAD = `schema = "girthlog.lesson/1"
id = "a-lesson"
title = "A lesson"
objectives = ["See it."]
minutes = 3
weld = ["fill 1"]

[joints]
count = 1

[[rig]]
id = "rig-a"
side = "A"
`;
const window = (text: string) =>
  `${HEAD}\n[[window]]\nid = "w"\nkind = "signal"\nrig = "rig-a"\npass = "fill 1"\n${text}`;

function refusalOf(text: string): string {
  try {
    parseLesson(text, 'own/lesson.toml');
  } catch (error) {
    expect(error).toBeInstanceOf(ScenarioError);
    return (error as Error).message;
  }
  throw new Error('it was accepted');
}

describe('a lesson file', () => {
  it.each([
    [
      'a key nobody knows',
      `${HEAD}\n[[window]]\nid = "w"\nkynd = "signal"\n`,
      /^own\/lesson\.toml:17: unknown key "window\.0\.kynd"; did you mean "kind"\?/,
    ],
    [
      'one at the top',
      HEAD.replace('minutes', 'minuts'),
      /:5: unknown key "minuts"; did you mean "minutes"\?/,
    ],
    [
      'one in a table',
      HEAD.replace('count', 'conut'),
      /:9: unknown key "joints\.conut"; did you mean "count"\?/,
    ],
    ['TOML that is none', HEAD.replace('[joints]', '[joints'), /^own\/lesson\.toml:8: /],
    ['another schema', HEAD.replace('/1', '/7'), /:1: schema/],
    ['no end', HEAD.replace('count = 1', 'count = 0'), /:9: joints\.count: a lesson ends/],
    ['no objectives', HEAD.replace('objectives = ["See it."]\n', ''), /objectives is missing/],
    ['an unknown fault', window('fault = "gremlin"\n'), /:20: window\.0\.fault/],
    [
      'an unknown channel',
      window('fault = "badEarth"\nchannels = ["volts"]\n'),
      /:21: window\.0\.channels\.0/,
    ],
    [
      'a rig that is not there',
      window('fault = "badEarth"\n').replace('rig = "rig-a"\npass', 'rig = "rig-z"\npass'),
      /:18: window\.0\.rig: there is no rig "rig-z": rig-a/,
    ],
    [
      'a pass that is not welded',
      window('fault = "badEarth"\n').replace('pass = "fill 1"\nfault', 'pass = "cap"\nfault'),
      /:19: window\.0\.pass: pass "cap" is not welded: fill 1/,
    ],
    [
      'a joint beyond the last',
      window('fault = "badEarth"\njoint = 2\n'),
      /:21: window\.0\.joint: joint 2 is not welded/,
    ],
    [
      'two places',
      window('fault = "badEarth"\nfrom_mm = 1\nfrom_clock = 3\n'),
      /window\.0: badEarth: give from_mm or from_clock, not both/,
    ],
    ['a drift of nothing', window('fault = "sensorDrift"\n'), /needs fault_channel/],
    [
      'a window beyond the pass',
      window('fault = "badEarth"\nfrom_mm = 2000\n'),
      /:15: window "w" begins beyond the pass, 963 mm long/,
    ],
    [
      'a window the wrong way',
      window('fault = "badEarth"\nfrom_mm = 300\nto_mm = 200\n'),
      /window "w" ends before it begins/,
    ],
    [
      'a decoy to be acted on',
      window('fault = "badEarth"\nactions = ["stop"]\n').replace('signal', 'decoy'),
      /:21: window\.0\.actions: decoy "w" is to be left alone/,
    ],
    [
      'a name twice',
      window('fault = "badEarth"\n') + window('fault = "badEarth"\n').slice(HEAD.length),
      /window "w" stands twice/,
    ],
  ])('with %s is refused in one line that names file, line and key', (_what, text, expected) => {
    const said = refusalOf(text);
    expect(said).toMatch(expected);
    expect(said).not.toContain('\n');
  });

  it("places windows from the pass's own start, by millimetre and by clock", () => {
    const text = `${HEAD}
[[window]]
id = "mm"
kind = "signal"
fault = "stickOutGrowth"
size = 4
rig = "rig-a"
pass = "fill 1"
from_mm = 300
to_mm = 500

[[window]]
id = "clock"
kind = "decoy"
fault = "feedOffset"
size = 2
rig = "rig-a"
pass = "fill 1"
from_clock = 9
`;
    const lesson = parseLesson(text, 'x');
    const [mm, clock] = lessonWindows(lesson, scenarioOfLesson(lesson, 40));
    // Fill 1 is the third layer: side A begins 15 mm past 12 o'clock.
    expect(mm).toMatchObject({ joint: 'J-0040', side: 'A', fromMm: 285, toMm: 485 });
    // 9 o'clock is a quarter of the way round: pi · 610 / 4 = 479.1 mm.
    expect(clock!.fromMm).toBeCloseTo((Math.PI * 610) / 4 - 15, 6);
    expect(clock).toMatchObject({ toMm: null, actions: ['leaveAlone'], channels: [] });
  });
});

describe('the lessons that ship', async () => {
  const lessons = await shipped();

  it('are at least twelve, of every kind that the trade needs', () => {
    expect(lessons.length).toBeGreaterThanOrEqual(12);
    const faults = new Set(
      lessons.flatMap(({ lesson }) =>
        lesson.window.filter(({ kind }) => kind === 'signal').map(({ fault }) => fault),
      ),
    );
    for (const kind of [
      'wrongPass',
      'stickOutGrowth',
      'wornTip',
      'wireSlip',
      'badEarth',
      'gasLost',
      'heldValue',
      'deviceSilent',
      'stopRestart',
      'lateStart',
      'wrongTap',
      'travelOffset',
      'feedOffset',
    ] as const) {
      expect(faults, kind).toContain(kind);
    }
    const clean = lessons.find(({ lesson }) => lesson.id === 'leave-it-alone')!.lesson;
    expect(clean.window.length).toBeGreaterThan(5);
    expect(clean.window.every(({ kind }) => kind === 'decoy')).toBe(true);
  });

  it.each(lessons.map(({ lesson }) => [lesson.id, lesson] as const))(
    '%s lasts as long as it says, and tells what is right',
    (_id, lesson) => {
      const minutes = timetableS(scenarioOfLesson(lesson)) / 60;
      expect(Math.abs(lesson.minutes / minutes - 1)).toBeLessThan(0.2);
      for (const { kind, actions, id } of lesson.window) {
        if (kind === 'signal') expect(actions.length, id).toBeGreaterThan(0);
        for (const action of actions) expect(ACTIONS).toContain(action);
      }
    },
  );

  it('the shift lasts two hours and hides three faults', () => {
    const { lesson } = lessons.find(one => one.lesson.id === 'two-hour-shift')!;
    expect(lesson.minutes).toBeGreaterThanOrEqual(120);
    const signals = lesson.window.filter(({ kind }) => kind === 'signal');
    expect(signals.map(({ fault }) => fault).sort()).toEqual(['stickOutGrowth', 'wireSlip', 'wrongPass']);
  });

  const steady = lessons.flatMap(({ lesson }) =>
    lesson.window
      .filter(({ kind, fault }) => kind === 'decoy' && fault !== 'stopRestart' && fault !== 'lateStart')
      .map(one => [`${lesson.id}: ${one.id}`, one] as const),
  );
  it.each(steady)(
    '%s is a decoy: its values stay within the limits of the example procedure',
    (_name, one) => {
      const setPoint = EXAMPLE_PASSES.find(({ name }) => name === one.pass)!;
      const welded = weldSteadily({ setPoint, faults: [fault(one.fault, one.size)], seconds: 4 });
      const { limits } = exampleProcedure.passes.find(({ name }) => name === one.pass)!;
      const value = {
        weldingCurrent: welded.reported('weldingCurrent'),
        arcVoltage: welded.reported('arcVoltage'),
        wireFeedSpeed: welded.reported('wireFeedSpeed') * 0.06,
        travelSpeed: welded.truth('travelMmS'),
      };
      let judged = 0;
      for (const { quantity, min, max } of limits) {
        const is = value[quantity as keyof typeof value];
        if (is === undefined) continue;
        judged++;
        expect(is, quantity).toBeGreaterThan(min);
        expect(is, quantity).toBeLessThan(max);
      }
      expect(judged).toBe(4);
    },
  );
});

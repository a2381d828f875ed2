/** A recorded joint as a lesson: readings kept, names and dates gone, played as it was. */
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { DeviceFrame } from '../../../simulator/rig/rig-frame.ts';
import { ScenarioError } from '../../../simulator/scenario/load-scenario.ts';
import {
  type FromRecording,
  lessonFromRecording,
} from '../../../simulator/training/lesson-from-recording.ts';
import { readLessons } from '../../../simulator/training/lesson-library.ts';
import { lessonRigs } from '../../../simulator/training/lesson-rigs.ts';
import { lessonHead, scenarioOfLesson } from '../../../simulator/training/lesson-scenario.ts';
import { parseSamples } from '../../../simulator/training/recorded-samples.ts';
import { LessonBench } from '../../support/lesson-bench.ts';
import { tempDir } from '../../support/temp-dir.ts';

const SECRETS = ['Spread Nine', 'J-0815', 'B. Example', '2026-03-04'];

/** Ten seconds of weld as an export lists it: names and dates beside the readings, one cell unknown, one gap. */
function exported(folder: string): FromRecording {
  const rows = Array.from({ length: 500 }, (_, i) => {
    const t = (i < 300 ? i : i + 100) * 0.02;
    const feed = i === 250 ? '' : (171 + (i % 3)).toFixed(2);
    return `2026-03-04T10:00:00.000Z,${t.toFixed(6)},0.020000,J-0815 B. Example,${(230 + (i % 7)).toFixed(1)},24.10,${feed},${(8 + 0).toFixed(3)},${(t * 8).toFixed(2)}`;
  });
  const head =
    'time_utc,t_s,sample_length_s,pass,welding_current_A,arc_voltage_V,wire_feed_speed_mm_per_s,travel_speed_mm_per_s,travel_distance_mm';
  const recording = join(folder, 'samples.csv');
  writeFileSync(recording, `\uFEFF${[head, ...rows].join('\r\n')}\r\n`);
  const map = join(folder, 'MAP.json');
  writeFileSync(
    map,
    JSON.stringify({
      header: true,
      delimiter: ',',
      time: { column: 't_s', unit: 's', recordStartUs: 1_772_618_400_000_000 },
      sampleLength: { column: 'sample_length_s', unit: 's' },
      samplePeriod: { constant: 0.02, unit: 's' },
      weldingCurrent: { column: 'welding_current_A', unit: 'A' },
      arcVoltage: { column: 'arc_voltage_V', unit: 'V' },
      wireFeedSpeed: { column: 'wire_feed_speed_mm_per_s', unit: 'mm/s' },
      travelDistance: { column: 'travel_distance_mm', unit: 'mm' },
      pass: { column: 'pass' },
      referenceRadiusMm: 325,
      assignment: { joint: 'J-0815', side: 'B', pass: 'fill 2', outsideDiameterMm: 610, startDegrees: 3 },
    }),
  );
  return {
    recording,
    map,
    folder,
    id: 'from-the-line',
    title: 'A pass from the line',
    side: 'B',
    pass: 'fill 2',
  };
}

describe('a lesson from a recording', () => {
  it('keeps the readings and the time between them, and nothing that names anybody', async () => {
    const folder = tempDir();
    const [toml, csv] = await lessonFromRecording(exported(folder));
    const texts = [toml!, csv!].map(path => readFileSync(path, 'utf8'));
    for (const secret of [...SECRETS, 'samples.csv', '1772618400']) {
      for (const text of texts) expect(text).not.toContain(secret);
    }
    const { channels, samples } = parseSamples(texts[1]!, 'x');
    expect(channels).toEqual(['weldingCurrent', 'arcVoltage', 'wireFeedSpeed', 'travelDistance']);
    expect(samples).toHaveLength(500);
    expect(samples[1]).toEqual({ tUs: 20_000, lengthUs: 20_000, values: [231, 24.1, 172, 0.16] });
    expect(samples[250]!.values[2]).toBeNull();
    // The gap of 2 s stays one: nothing is held over it.
    expect([samples[299]!.tUs, samples[299]!.lengthUs, samples[300]!.tUs]).toEqual([
      5_980_000, 20_000, 8_000_000,
    ]);
  });

  it('is marked a replay and played as it was, in order, with places from where it began', async () => {
    const folder = tempDir();
    const [toml] = await lessonFromRecording(exported(folder));
    writeFileSync(
      toml!,
      `${readFileSync(toml!, 'utf8')}
[[window]]
id = "seen"
kind = "signal"
fault = "wireSlip"
rig = "rig-b"
pass = "fill 2"
from_mm = 20
to_mm = 40
channels = ["weldingCurrent"]
actions = ["call"]
`,
    );
    const [found] = await readLessons([folder]);
    expect(lessonHead(found!.lesson)).toMatchObject({ id: 'from-the-line', replay: true, rigs: 1 });
    const rigs = await lessonRigs(found!, scenarioOfLesson(found!.lesson), 1);
    const frames: DeviceFrame[] = [];
    while (!rigs[0]!.source.ended) frames.push(rigs[0]!.source.nextFrame());
    const played = frames.filter(({ silent }) => !silent);
    const { samples } = parseSamples(readFileSync(join(folder, 'from-the-line.csv'), 'utf8'), 'x');
    expect(played.map(({ reported }) => reported.weldingCurrent)).toEqual(
      samples.map(({ values }) => values[0]),
    );
    expect(played[250]!.reported.wireFeedSpeed).toBeUndefined();
    // Then, for a moment, that nothing flows, and silence.
    const after = Array.from({ length: 250 }, () => rigs[0]!.source.nextFrame());
    expect(after.filter(({ silent }) => !silent).map(({ reported }) => reported)).toEqual(
      Array.from({ length: 200 }, () => ({ weldingCurrent: 0, arcVoltage: 0, wireFeedSpeed: 0 })),
    );
    const first = played[0]!.startUs;
    expect(played.map(({ startUs }) => startUs - first)).toEqual(samples.map(({ tUs }) => tUs));

    const bench = new LessonBench([found!]);
    await bench.control.open({ lesson: 'from-the-line', seed: null });
    expect(bench.plans[0]).toMatchObject({ replay: true });
    await bench.control.start({ speed: 1 });
    await bench.until(() => bench.control.state().state === 'ended', 60);
    expect(bench.events.map(({ event }) => [event.event, event.pass.pass, event.pass.side])).toEqual([
      ['passAhead', 'fill 2', 'B'],
      ['passDone', 'fill 2', 'B'],
    ]);
    const { beganUtc, endedUtc } = bench.control.truth().windows[0]!;
    // 20 mm at the weld are 20 · 325 / 305 = 21.3 mm at the band, 8 mm/s: from 2.66 s to 5.33 s.
    expect(Math.abs(Date.parse(endedUtc!) - Date.parse(beganUtc!) - 2664)).toBeLessThan(250);
    // Nothing can be put into what was.
    await bench.control.open({ lesson: 'from-the-line', seed: null });
    await bench.control.start({ speed: 1 });
    await bench.pass(8);
    const injection = { rig: 'rig-b', fault: 'wireSlip', size: 5, rampMm: 0, lengthMm: null };
    await expect(bench.control.inject(injection)).rejects.toMatchObject({ status: 422 });
    bench.control.stop();
  });

  it.each([
    ['a pass of no procedure', { pass: 'the fifth' }, /pass "the fifth" is none of the example procedure/],
    ['no such file', { recording: '/nowhere/x.csv' }, /\/nowhere\/x\.csv/],
    ['no such map', { map: '/nowhere/MAP.json' }, /\/nowhere\/MAP\.json/],
  ])('is not made of %s, and nothing is written', async (_what, change, expected) => {
    const folder = tempDir();
    const asked = { ...exported(folder), ...change };
    const refused = lessonFromRecording(asked);
    await expect(refused).rejects.toThrow(expected);
    await expect(refused).rejects.toBeInstanceOf(ScenarioError);
    expect(await readLessons([folder])).toEqual([]);
  });

  it('never writes over a lesson that stands there', async () => {
    const folder = tempDir();
    const asked = exported(folder);
    await lessonFromRecording(asked);
    await expect(lessonFromRecording(asked)).rejects.toThrow(/stands there already/);
  });

  it.each([
    ['t_us,length_us,volts\n0,20000,1\n', /:1: expected t_us,length_us and channels, found "volts"/],
    ['t_us,length_us,arcVoltage\n0,20000,x\n', /:2: not a sample/],
    ['t_us,length_us,arcVoltage\n0,20000,1\n0,20000,1\n', /:3: not a sample/],
    ['t_us,length_us,arcVoltage\n0,0,1\n', /:2: not a sample/],
    ['t_us,length_us,arcVoltage\n', /no samples/],
  ])('samples that are none are refused with file and line: %j', (text, expected) => {
    expect(() => parseSamples(text, 'own.csv')).toThrow(expected);
  });
});

import { Command } from 'commander';
import { describe, expect, it, onTestFinished, vi } from 'vitest';
import { schemaProblem } from '#core/messages/schema-problem';
import { type ColumnMap, columnMapSchema } from '../../edge/replay/column-map.ts';
import { readRecording } from '../../edge/replay/recording-reader.ts';
import { type ReplayDocument, replayRecording, settingsOf } from '../../edge/replay/replay.ts';
import { addReplayCommand } from '../../edge/replay/replay-command.ts';
import { CSV_MAP, recordingFile } from '../support/recording-file.ts';

const ASSIGNMENT = { joint: 'J-1', side: 'A', pass: 'fill 1', outsideDiameterMm: 610, startDegrees: 0 };

/** Ten seconds of arc at 10 Hz, then a second without: 240 A, 25 V and 6 mm/s, restless by a tenth. */
function rows(length: (i: number) => string): string {
  const lines = Array.from({ length: 110 }, (_, i) => {
    const on = i < 100;
    const amps = on ? 240 + (i % 2) / 10 : 0;
    return `${(i / 10).toFixed(1)},${amps},${on ? 25 : 0},${on ? 6 : 0},${length(i)}`;
  });
  return ['t,I,U,v,len', ...lines].join('\n');
}

async function replay(text: string, extra: object): Promise<ReplayDocument> {
  const map: ColumnMap = columnMapSchema.parse({ ...CSV_MAP, ...extra });
  const recording = await readRecording(recordingFile(text), map);
  return replayRecording({
    file: 'x',
    recording,
    procedure: null,
    passName: null,
    settings: settingsOf(map),
    assignment: map.assignment,
  });
}

describe('the length of each row’s interval', () => {
  it('is what is integrated: half the time, half the arc', async () => {
    const text = rows(() => '50');
    const whole = await replay(text, {});
    const half = await replay(text, { sampleLength: { column: 'len', unit: 'ms' } });
    expect(whole.passes[0]?.arcTimeS).toBeCloseTo(10, 9);
    expect(half.passes[0]?.arcTimeS).toBeCloseTo(5, 9);
  });

  it('may be the same for every row', async () => {
    const text = rows(() => '');
    const half = await replay(text, { sampleLength: { constant: 0.05, unit: 's' } });
    expect(half.passes[0]?.arcTimeS).toBeCloseTo(5, 9);
  });

  it('where a cell is empty, unreadable or negative the row holds until the next', async () => {
    const cells = ['', '-20', 'x'];
    const { passes, source } = await replay(
      rows(i => cells[i % 3]!),
      { sampleLength: { column: 'len', unit: 'ms' } },
    );
    expect(source.rejected).toBe(0);
    expect(passes[0]?.arcTimeS).toBeCloseTo(10, 9);
  });
});

it('travel read at a band of 325 mm is 305/325 of it at a pipe of 610 mm', async () => {
  const travelSpeed = { column: 'v', unit: 'mm/s' };
  const { passes } = await replay(
    rows(() => ''),
    { travelSpeed, referenceRadiusMm: 325, assignment: ASSIGNMENT },
  );
  expect(passes[0]?.meanTravelMmS).toBeCloseTo((6 * 305) / 325, 9);
  expect(passes[0]?.runOutLengthMm).toBeCloseTo((60 * 305) / 325, 6);
});

it('an announced period says what a gap is: five of them', async () => {
  const text = rows(() => '')
    .split('\n')
    .filter((_, i) => i < 40 || i > 44)
    .join('\n');
  expect((await replay(text, {})).signal.gaps).toHaveLength(1);
  const slow = await replay(text, { samplePeriod: { constant: 200, unit: 'ms' } });
  expect(slow.signal.gaps).toHaveLength(0);
});

it('record time moves nothing in the document but the grid of the engine', async () => {
  const text = rows(() => '');
  const time = { column: 't', unit: 's', recordStartUs: 1_700_000_000_000_000 };
  const [plain, dated] = [await replay(text, {}), await replay(text, { time })];
  expect(dated.source.durationS).toBe(plain.source.durationS);
  expect(dated.passes.map(({ startS, endS, arcTimeS }) => [startS, endS, arcTimeS.toFixed(9)])).toEqual(
    plain.passes.map(({ startS, endS, arcTimeS }) => [startS, endS, arcTimeS.toFixed(9)]),
  );
});

describe('strict', () => {
  it.each<[string, object, RegExp]>([
    [
      'a length that is no time',
      { sampleLength: { column: 'len', unit: 'mm' } },
      /sampleLength.*mm is not a unit of time/,
    ],
    ['a period of nothing', { samplePeriod: { constant: 0, unit: 's' } }, /samplePeriod\.constant/],
    ['a period as a column', { samplePeriod: { column: 1, unit: 's' } }, /samplePeriod/],
    [
      'a length by name without a header',
      { header: false, sampleLength: { column: 'len', unit: 's' } },
      /header/,
    ],
    ['a radius below nothing', { referenceRadiusMm: -1 }, /referenceRadiusMm/],
    ['an uncertainty in percent', { uncertainty: { current: 1.5 } }, /uncertainty\.current/],
    ['an uncertainty of what has none', { uncertainty: { gas: 0.1 } }, /uncertainty/],
    ['a side that is none', { assignment: { ...ASSIGNMENT, side: 'C' } }, /assignment\.side/],
    ['an assignment without a diameter', { assignment: { joint: 'J', side: 'A', pass: 'x' } }, /assignment/],
    [
      'record time that is no time',
      { time: { column: 0, unit: 's', recordStartUs: 1.5 } },
      /time\.recordStartUs/,
    ],
  ])('%s is refused', (_what, extra, sentence) => {
    const parsed = columnMapSchema.safeParse({ ...CSV_MAP, ...extra });
    expect(parsed.success ? 'read' : schemaProblem(parsed.error)).toMatch(sentence);
  });

  const PROCEDURE = {
    schema: 'girthlog.procedure/1',
    id: 'x',
    revision: 1,
    title: 'Test',
    exampleOnly: true,
    passes: [{ name: 'root', type: 'root', limits: [] }],
  };

  it.each<[string, string[], RegExp]>([
    [
      'another pass than was welded',
      ['--pass', 'root'],
      /^--pass "root" is not the pass "fill 1" of the map's assignment\n$/,
    ],
    [
      'a procedure without the pass that was welded',
      [],
      /assignment\.pass: there is no pass "fill 1" in .*: it has "root"\n$/,
    ],
  ])('%s ends with 3 and one sentence', async (_what, flags, sentence) => {
    let said = '';
    const spy = vi.spyOn(process.stderr, 'write').mockImplementation(text => {
      said += String(text);
      return true;
    });
    onTestFinished(() => {
      spy.mockRestore();
      process.exitCode = 0;
    });
    const program = new Command('girthlog-edge');
    addReplayCommand(program);
    const map = recordingFile(JSON.stringify({ ...CSV_MAP, assignment: ASSIGNMENT }));
    const procedure = recordingFile(JSON.stringify(PROCEDURE));
    const recording = recordingFile(rows(() => ''));
    await program.parseAsync([
      ...['node', 'x', 'replay', recording, '--columns', map, '--procedure', procedure],
      ...flags,
    ]);
    expect(process.exitCode).toBe(3);
    expect(said).toMatch(sentence);
  });
});

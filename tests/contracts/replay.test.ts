import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { passSchema } from '#core/messages/pass';
import { columnMapSchema } from '../../edge/replay/column-map.ts';
import { readRecording } from '../../edge/replay/recording-reader.ts';
import { type ReplayDocument, replayRecording } from '../../edge/replay/replay.ts';
import { ReplayError } from '../../edge/replay/replay-error.ts';
import { type ReferenceSample, referencePasses } from '../support/contract-reference.ts';
import { CSV_MAP, recordingFile } from '../support/recording-file.ts';
import { recipeArbitrary, recordingOf } from '../support/signals.ts';

function csv(samples: readonly ReferenceSample[]): string {
  const cell = (value: number | undefined): string => (value === undefined ? '' : String(value));
  const rows = samples.map(s =>
    [s.t, s.current, s.voltage, s.wireFeed, s.travel, s.power].map(cell).join(','),
  );
  return ['t,I,U,feed,travel,P', ...rows].join('\n');
}

async function replay(text: string | Buffer, map: object = CSV_MAP): Promise<ReplayDocument> {
  const path = recordingFile(text);
  const recording = await readRecording(path, columnMapSchema.parse(map));
  return replayRecording({ file: path, recording, procedure: null, passName: null });
}

const arc = (from: number, to: number, periodS = 0.01): string[] =>
  Array.from(
    { length: Math.round((to - from) / periodS) },
    (_, i) => `${from + i * periodS},${236 + (i % 7)},${24 + (i % 3) / 10}`,
  );

describe('reading', () => {
  test('any recording through a file agrees with the independent computation of the rules', async () => {
    const map = {
      ...CSV_MAP,
      wireFeedSpeed: { column: 'feed', unit: 'mm/s' },
      travelSpeed: { column: 'travel', unit: 'mm/s' },
      power: { column: 'P', unit: 'W' },
    };
    await fc.assert(
      fc.asyncProperty(recipeArbitrary, async recipe => {
        const samples = recordingOf({ ...recipe, jitter: false });
        fc.pre(samples.length > 100);
        const document = await replay(csv(samples), map);
        const expected = referencePasses(samples, document.source.samplePeriodS!);
        expect(document.passes.map(pass => pass.restarts)).toEqual(expected.map(pass => pass.restarts));
        expected.forEach((want, i) => {
          expect(document.passes[i]!.arcEnergyKj).toBeCloseTo(want.energyKj, 7);
          expect(document.passes[i]!.arcTimeS).toBeCloseTo(want.arcTime, 7);
        });
      }),
      { numRuns: 40 },
    );
  });

  test('rejected, late, equal and unordered rows are counted as documented', async () => {
    const rows = arc(0, 5);
    const text = [
      't,I,U',
      ...rows.slice(0, 100),
      '',
      'junk,1,2', // time unreadable
      '1.0,,24', // no current
      '1.0,2500,24', // beyond ±2000 A
      '1.0,200,Infinity',
      '0.995,200,24.5', // between the rows: fine
      '0.99,201,24.5', // behind the newest, and the time of an earlier row: kept instead of it
      '-2,1,1', // more than 1 s behind
      ...rows.slice(100),
    ].join('\n');
    const { source, signal, passes } = await replay(text);
    expect(source).toMatchObject({ samples: 502, rejected: 5 });
    expect(signal).toMatchObject({ outOfOrder: 1, duplicateTimes: 1 });
    expect(passes).toHaveLength(1);
  });

  test('units, scale, constants, quotes, blanks and a byte order mark', async () => {
    const rows = arc(0, 5).map(row => {
      const [t, amps, volts] = row.split(',').map(Number) as [number, number, number];
      return `"${t * 1000}"\t ${-amps} \t${volts * 10}`;
    });
    const { passes, reasons } = await replay(`\uFEFF"time"\t"I"\tU\r\n${rows.join('\r\n')}\r\n`, {
      header: true,
      delimiter: '\t',
      time: { column: 'time', unit: 'ms' },
      weldingCurrent: { column: 'I', unit: 'A', scale: -1 },
      arcVoltage: { column: 'U', unit: 'V', scale: 0.1 },
      travelSpeed: { constant: 8, unit: '[in_i]/min' },
    });
    expect(reasons).toEqual([]);
    expect(passes[0]).toMatchObject({
      meanCurrentA: expect.closeTo(239, 0),
      meanVoltageV: expect.closeTo(24.1, 1),
    });
    // 8 in/min is 3.3867 mm/s (25.4 mm to the inch, exactly).
    expect(passes[0]!.meanTravelMmS).toBeCloseTo((8 * 25.4) / 60, 9);
  });

  test('a space as delimiter: runs of blanks, and quoted cells that hold blanks', async () => {
    const rows = arc(0, 5).map(row => row.replace(/([^,]+),([^,]+)/, '  $1   "$2"').replace(',', ' \t'));
    const { source, passes } = await replay(['"Time (s)"  "Weld I" U', ...rows].join('\n'), {
      header: true,
      delimiter: ' ',
      time: { column: 'Time (s)', unit: 's' },
      weldingCurrent: { column: 'Weld I', unit: 'A' },
      arcVoltage: { column: 'U', unit: 'V' },
    });
    expect(source.rejected).toBe(0);
    expect(passes[0]!.meanCurrentA).toBeCloseTo(239, 0);
  });

  test('a label that is only written while the arc burns: still the same pass', async () => {
    const label = (rows: string[], word: string): string[] => rows.map(row => `${row},${word}`);
    const off = (from: number, to: number): string[] =>
      arc(from, to).map(row => `${row.slice(0, row.indexOf(','))},0,0,`);
    const text = [
      't,I,U,pass',
      ...label(arc(0, 2), 'root'),
      ...off(2, 22),
      ...label(arc(22, 24), 'root'),
      ...off(24, 26),
      ...label(arc(26, 28), 'hot'),
    ].join('\n');
    const { passes } = await replay(text, { ...CSV_MAP, pass: { column: 'pass' } });
    expect(passes.map(({ label: word, restarts, continues }) => [word, restarts, continues])).toEqual([
      ['root', 1, null],
      ['hot', 0, null],
    ]);
  });

  test('mostly negative current is not turned over, and a reason says what to map', async () => {
    const text = ['t,I,U', ...arc(0, 5).map(row => row.replace(',', ',-'))].join('\n');
    const { passes, reasons } = await replay(text);
    expect(passes).toEqual([]);
    expect(reasons).toMatchObject([
      { code: 'currentNegative', text: expect.stringContaining('"scale": -1') },
    ]);
  });

  test('an unreadable cell of another channel is unknown for that row alone', async () => {
    const text = ['t,I,U,v', ...arc(0, 5).map((row, i) => `${row},${i === 250 ? '#N/A' : 7.5}`)].join('\n');
    const { passes } = await replay(text, { ...CSV_MAP, travelSpeed: { column: 'v', unit: 'mm/s' } });
    expect(passes[0]!.runOutLengthMm).toBeCloseTo(7.5 * 4.98, 6);
    expect(passes[0]!.reasons.map(reason => reason.code)).toContain('partlyTravel');
  });

  test('any bytes: a document or one sentence, never anything else', async () => {
    const map = {
      ...CSV_MAP,
      header: false,
      time: { column: 0, unit: 's' },
      weldingCurrent: { column: 1, unit: 'A' },
      arcVoltage: { column: 2, unit: 'V' },
    };
    const line = fc.oneof(
      fc.string(),
      fc.tuple(fc.double(), fc.double(), fc.double()).map(cells => cells.join(',')),
    );
    const bytes = fc.oneof(
      fc.uint8Array({ maxLength: 2000 }).map(array => Buffer.from(array)),
      fc.array(line, { maxLength: 60 }).map(lines => Buffer.from(lines.join('\n'))),
    );
    await fc.assert(
      fc.asyncProperty(bytes, async content => {
        try {
          const { source, passes } = await replay(content, map);
          expect(source.samples).toBeGreaterThan(0);
          for (const pass of passes) passSchema.parse(pass);
        } catch (error) {
          expect(error).toBeInstanceOf(ReplayError);
          expect((error as Error).message).not.toContain('\n');
        }
      }),
      { numRuns: 200 },
    );
  });
});

import { describe, expect, it } from 'vitest';
import { DelimitedDecoder } from '#core/frame/delimited-decoder';
import { type DelimitedMapInput, delimitedMapSchema } from '#core/frame/delimited-map';
import type { Channel } from '#core/sample/channels';
import { ascii, pushInPieces, rowsOf } from './frame-support.ts';

const IU: readonly Channel[] = ['weldingCurrent', 'arcVoltage'];
const map: DelimitedMapInput = {
  delimiter: ';',
  time: { column: 0, unit: 'ms' },
  weldingCurrent: { column: 1, unit: 'A' },
  arcVoltage: { column: 2, unit: 'V', scale: 0.1 },
};

function decode(settings: DelimitedMapInput, text: string, startsAtLine = true, arrivalUs = 1_000_000) {
  const decoder = new DelimitedDecoder(delimitedMapSchema.parse(settings), startsAtLine);
  return { decoder, outputs: decoder.push(ascii(text), arrivalUs) };
}

describe('delimited lines', () => {
  it('give times, scaled values and constants in our units', () => {
    const { outputs } = decode(
      { ...map, travelSpeed: { constant: 30, unit: '[in_i]/min' } },
      '0;236.04;240;x\n10;236;241;x\n',
    );
    // 30 in/min × 25.4 mm ÷ 60 s = 12.7 mm/s.
    expect(rowsOf(outputs, [...IU, 'travelSpeed'])).toEqual([
      [0, null, 236, 24, 12.7],
      [10_000, null, 236, 24.1, 12.7],
    ]);
  });

  it('reject a line without readable or possible current and voltage, and only a cell elsewhere', () => {
    const { decoder, outputs } = decode(
      { ...map, gasFlow: { column: 3, unit: 'L/min' } },
      [
        '0;236;240;15',
        '10;;240;15',
        '20;NaN;240;15',
        '30;2001;240;15',
        '40;236;2010;15',
        'x;236;240;15',
        '60;236;240;-',
        '70;1e999;240;15',
        '80;0x10;240;15',
        '90;1_000;240;15',
        '100;1,5;240;15',
        '110;+5;.5;15.',
        '',
      ].join('\n'),
    );
    expect(rowsOf(outputs, [...IU, 'gasFlow'])).toEqual([
      [0, null, 236, 24, 15],
      [60_000, null, 236, 24, null],
      [110_000, null, 5, 0.05, 15],
    ]);
    expect(decoder.counters).toMatchObject({ impossibleSamples: 9, unreadableCells: 1, samples: 3 });
  });

  it('drop the first, perhaps half, line of a port but not of a file', () => {
    const text = '236;240\n0;200;240\n10;201;240\n';
    expect(decode(map, text, false).decoder.counters).toMatchObject({ samples: 2, skippedBytes: 7 });
    expect(decode(map, text, true).decoder.counters).toMatchObject({ samples: 2, malformed: 1 });
  });

  it('do not take two lines fused by lost bytes', () => {
    const { decoder, outputs } = decode(map, '0;200;240\n10;201;240\n20;202;2430;203;240\n40;204;240\n');
    expect(rowsOf(outputs, []).map(([tUs]) => tUs)).toEqual([0, 10_000, 40_000]);
    expect(decoder.counters.malformed).toBe(1);
  });

  it('learn a new number of cells after five lines that agree', () => {
    const lines = Array.from({ length: 7 }, (_, k) => `${k + 1};200;240;new`);
    const { decoder } = decode(map, `0;200;240\n${lines.join('\n')}\n`);
    expect(decoder.counters).toMatchObject({ malformed: 4, samples: 4 });
  });

  it('keep the order of times: repeated and late lines counted, a fall of a second is a restart', () => {
    const { decoder, outputs } = decode(map, '0;1;1\n1000;1;1\n1000;1;1\n900;1;1\n1100;1;1\n5;1;1\n15;1;1\n');
    expect(decoder.counters).toMatchObject({ duplicateFrames: 1, outOfOrder: 1, restarts: 1, samples: 5 });
    expect(outputs.map(({ kind }) => kind)).toEqual(['announce', 'samples', 'restart', 'samples']);
  });

  it('find named columns in the header line, also when it is printed again', () => {
    const named: DelimitedMapInput = {
      ...map,
      header: true,
      weldingCurrent: { column: 'amps', unit: 'A' },
      arcVoltage: { column: 'volts', unit: 'V' },
    };
    const { decoder, outputs } = decode(named, '0;1;2\nt;amps;volts\n10;200;24\nt;volts;amps\n20;25;201\n');
    expect(rowsOf(outputs, IU)).toEqual([
      [10_000, null, 200, 24],
      [20_000, null, 201, 25],
    ]);
    expect(decoder.counters.beforeAnnounce).toBe(1);
  });

  it('without a time are stamped at arrival, those that came together evenly since the last', () => {
    const { time: _, ...untimed } = map;
    const decoder = new DelimitedDecoder(delimitedMapSchema.parse(untimed), false);
    decoder.push(ascii('half\n0;1;1\n'), 1_000_000);
    const outputs = decoder.push(ascii('0;1;1\n0;1;1\n0;1;1\n0;1;1\n'), 1_040_000);
    expect(rowsOf(outputs, []).map(([tUs]) => tUs)).toEqual([1_010_000, 1_020_000, 1_030_000, 1_040_000]);
    expect(decoder.ownTime).toBe(false);
  });

  it('without a time lie a known period apart', () => {
    const { time: _, ...untimed } = map;
    const settings = { ...untimed, period_s: 0.01 };
    const port = decode(settings, 'half\n0;1;1\n0;1;1\n0;1;1\n', false);
    expect(rowsOf(port.outputs, []).map(([tUs]) => tUs)).toEqual([980_000, 990_000, 1_000_000]);
    const file = decode(settings, '0;1;1\n0;x;1\n0;1;1\n', true);
    expect(rowsOf(file.outputs, []).map(([tUs]) => tUs)).toEqual([0, 20_000]);
    expect(file.decoder.ownTime).toBe(true);
  });

  it('without a time do not go back over a reconnection', () => {
    const { time: _, ...untimed } = map;
    for (const period of [{}, { period_s: 0.01 }]) {
      const decoder = new DelimitedDecoder(delimitedMapSchema.parse({ ...untimed, ...period }), false);
      const before = decoder.push(ascii('half\n0;1;1\n0;1;1\n'), 1_000_000);
      decoder.reset();
      // A device server had kept twenty of them; with 10 ms each they would begin before the last.
      const after = decoder.push(ascii(`half\n${'0;1;1\n'.repeat(20)}`), 1_050_000);
      const times = rowsOf([...before, ...after], []).map(([tUs]) => tUs!);
      expect(times).toHaveLength(22);
      for (let i = 1; i < times.length; i++) expect(times[i]).toBeGreaterThan(times[i - 1]!);
    }
  });

  it('without a time are not spread over a time in which none came', () => {
    const { time: _, ...untimed } = map;
    for (const reconnects of [true, false]) {
      const decoder = new DelimitedDecoder(delimitedMapSchema.parse(untimed), false);
      decoder.push(ascii('half\n0;1;1\n'), 1_000_000);
      for (let k = 1; k <= 10; k++) decoder.push(ascii('0;1;1\n'), 1_000_000 + k * 10_000);
      if (reconnects) decoder.reset();
      const outputs = decoder.push(ascii(`${reconnects ? 'half\n' : ''}0;1;1\n0;1;1\n0;1;1\n`), 31_100_000);
      // They came 30 s later, 10 ms apart as before.
      expect(rowsOf(outputs, []).map(([tUs]) => tUs)).toEqual([31_080_000, 31_090_000, 31_100_000]);
    }
  });

  it('are the same in any pieces', () => {
    const text = Array.from({ length: 50 }, (_, k) => `${k * 10};${200 + k};240`).join('\r\n');
    const whole = decode(map, `${text}\r\n`).outputs;
    const decoder = new DelimitedDecoder(delimitedMapSchema.parse(map), true);
    expect(rowsOf(pushInPieces(decoder, ascii(`${text}\r\n`), [3, 1, 7]), IU)).toEqual(rowsOf(whole, IU));
  });
});

describe('a delimited map', () => {
  it.each([
    ['no column at all', { weldingCurrent: { constant: 1, unit: 'A' } }, 'no column is mapped'],
    ['a name without header', { weldingCurrent: { column: 'amps', unit: 'A' } }, 'need header = true'],
    ['a unit of something else', { weldingCurrent: { column: 1, unit: 'V' } }, 'not a UCUM unit'],
    ['a scale of 0', { weldingCurrent: { column: 1, unit: 'A', scale: 0 } }, 'scale of 0'],
    ['an unknown key', { weldingCurrent: { column: 1, unit: 'A', factor: 2 } }, 'factor'],
    [
      'a delimiter that is a digit',
      { delimiter: '1', weldingCurrent: { column: 1, unit: 'A' } },
      'cannot stand',
    ],
    [
      'an endless scale',
      { weldingCurrent: { column: 1, unit: 'A', scale: Number.POSITIVE_INFINITY } },
      'scale',
    ],
  ])('with %s is refused', (_name, settings, words) => {
    const result = delimitedMapSchema.safeParse(settings);
    expect(result.success).toBe(false);
    expect(JSON.stringify(result.error?.issues)).toContain(words);
  });
});

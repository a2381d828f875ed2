/** A line that was made to be slow to read: what reads it must take as long as the line is, not its square. */
import { describe, expect, it } from 'vitest';
import { DelimitedDecoder } from '#core/frame/delimited-decoder';
import { delimitedMapSchema } from '#core/frame/delimited-map';
import { readNumber, splitLine } from '../../edge/replay/line-cells.ts';

// Where the time grows with the square, each of these takes hours: the test then ends by its own limit.
const MANY = 1_000_000;

describe('a cell of a million digits', () => {
  it('that is no number is none', () => {
    expect(readNumber(`${'1'.repeat(MANY)}x`)).toBeNaN();
    expect(readNumber(`-${'1'.repeat(MANY)}.${'1'.repeat(MANY)}e`)).toBeNaN();
  });

  it('and what is a number still is one', () => {
    const numbers = { '1': 1, '1.': 1, '.5': 0.5, '-1.25e-3': -0.00125, '+07': 7 };
    for (const [text, value] of Object.entries(numbers)) expect(readNumber(text), text).toBe(value);
    for (const text of ['', '.', '1.2.3', '1e', '0x10', ' 1', '--1'])
      expect(readNumber(text), text).toBeNaN();
  });

  it('between quotes that never close is split all the same', () => {
    expect(splitLine(`"${'""'.repeat(MANY)}x`, ' ')).toHaveLength(1);
    expect(splitLine('" "" '.repeat(MANY / 10), ' ').length).toBeGreaterThan(0);
  });
});

describe('a device that sends digits without end', () => {
  it('holds up the edge no longer than other lines do', () => {
    const map = delimitedMapSchema.parse({
      delimiter: ';',
      weldingCurrent: { column: 0, unit: 'A' },
      arcVoltage: { column: 1, unit: 'V' },
    });
    const decoder = new DelimitedDecoder(map, false);
    // As long as a line may be; a real one behind each, so that they are read to their end.
    const line = new TextEncoder().encode(`${'1'.repeat(2000)}x;${'1'.repeat(2000)}x\n236;24\n`);
    let samples = 0;
    for (let n = 0; n < 3000; n++) {
      for (const output of decoder.push(line, n * 1000))
        if (output.kind === 'samples') samples += output.chunk.n;
    }
    expect(samples).toBeGreaterThan(2900);
  });
});

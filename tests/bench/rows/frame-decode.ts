import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { ReadlineParser } from 'serialport';
import { BinaryDecoder } from '#core/frame/binary-decoder';
import { compileC, NO_COMPILER, runC } from '../harness/compile-c.ts';
import { burningSample, DeviceFrames } from '../harness/device-frames.ts';
import { atLeast, atMost, type Benchmark, type Figure, notMeasured } from '../harness/figure.ts';
import { nsEach, ratioOf, showMedian, takeTurns } from '../harness/measure.ts';

const SAMPLES = 200_000;
const PER_FRAME = 10;
/** Bytes of one read, as a busy serial port gives them. */
const PIECE = 1024;
/** Every contestant's best of so many passes counts in a round. */
const REPEATS = 3;
const WHAT_LINES = 'binary frame against text line';
const WHAT_C = 'binary frame against C -O2';

function binaryBytes(): Uint8Array {
  const device = new DeviceFrames(1000);
  const frames = [device.announcement];
  for (let first = 0; first < SAMPLES; first += PER_FRAME) {
    frames.push(
      device.next(
        first,
        Array.from({ length: PER_FRAME }, (_, k) => burningSample(first + k)),
      ),
    );
  }
  return Buffer.concat(frames);
}

/** The same readings as a device prints them for people: time and four decimal values. */
function textBytes(): Buffer {
  let text = '';
  for (let i = 0; i < SAMPLES; i++) {
    const [current = 0, voltage = 0, feed = 0, travel = 0] = burningSample(i);
    const values = [current / 10, voltage / 100, feed / 100, travel / 500].join(',');
    text += `${i * 1000},${values}\n`;
  }
  return Buffer.from(text);
}

function* piecesOf(bytes: Uint8Array): Generator<Uint8Array> {
  for (let i = 0; i < bytes.length; i += PIECE) yield bytes.subarray(i, i + PIECE);
}

interface Decoded {
  samples: number;
  sum: number;
}

function decodeBinary(pieces: readonly Uint8Array[]): Decoded {
  const decoder = new BinaryDecoder();
  const decoded: Decoded = { samples: 0, sum: 0 };
  for (const piece of pieces) {
    for (const output of decoder.push(piece, 0)) {
      if (output.kind !== 'samples') continue;
      const { n, columns } = output.chunk;
      decoded.samples += n;
      for (let i = 0; i < n; i++) decoded.sum += columns.weldingCurrent![i]!;
    }
  }
  return decoded;
}

async function decodeLines(pieces: readonly Uint8Array[]): Promise<Decoded> {
  const parser = new ReadlineParser({ delimiter: '\n' });
  const decoded: Decoded = { samples: 0, sum: 0 };
  parser.on('data', (line: string) => {
    const [time, current, voltage, feed, travel] = line.split(',').map(parseFloat);
    if ([time, current, voltage, feed, travel].some(value => value === undefined || Number.isNaN(value)))
      return;
    decoded.samples++;
    decoded.sum += current!;
  });
  const ended = new Promise(resolve => parser.once('end', resolve));
  for (const piece of pieces) parser.write(piece);
  parser.end();
  await ended;
  return decoded;
}

function mustBeWhole(decoded: Decoded, expected: Decoded, who: string): void {
  if (decoded.samples === expected.samples && Math.abs(decoded.sum - expected.sum) < 1e-3) return;
  throw new Error(`${who} delivered ${decoded.samples} of ${expected.samples} samples, or other values`);
}

export const frameDecode: Benchmark = {
  id: 'G1',
  title: 'frame decode',
  how: `${SAMPLES} samples of four channels, ${PER_FRAME} in a binary frame (COBS, CRC-16), in pieces of ${PIECE} bytes, into columns. Baselines: the same readings as decimal lines (time and four values, no checksum) through serialport's ReadlineParser, split and parseFloat; and a decoder of the same frames written plainly in C (tests/bench/baselines/decode.c, table CRC a byte a step), compiled with -O2. The best of ${REPEATS} passes of each counts in a round.`,
  run: async ({ baselines, scratch }) => {
    const binary = binaryBytes();
    const binaryPieces = [...piecesOf(binary)];
    const textPieces = [...piecesOf(textBytes())];
    const expected: Decoded = { samples: SAMPLES, sum: 0 };
    for (let i = 0; i < SAMPLES; i++) expected.sum += burningSample(i)[0]! / 10;
    const file = join(scratch, 'frames.bin');
    writeFileSync(file, binary);
    const program = compileC(join(baselines, 'decode.c'), scratch, 'decode');
    const bestOf = async (who: string, decode: () => Decoded | Promise<Decoded>): Promise<number> => {
      let best = Number.POSITIVE_INFINITY;
      for (let repeat = 0; repeat < REPEATS; repeat++) {
        let decoded: Decoded = { samples: 0, sum: 0 };
        const ns = await nsEach(SAMPLES, async () => {
          decoded = await decode();
        });
        mustBeWhole(decoded, expected, who);
        best = Math.min(best, ns);
      }
      return best;
    };
    const subject = () => bestOf('the decoder', () => decodeBinary(binaryPieces));
    const lines = () => bestOf('the line parser', () => decodeLines(textPieces));
    const inC = (): number => {
      if (program === null) return Number.NaN;
      const result = runC<Decoded & { ns: number }>(program, [file, String(PIECE), String(REPEATS)]);
      mustBeWhole(result, expected, 'the decoder in C');
      return result.ns;
    };
    const ns = await takeTurns({ rounds: 7, warmUps: 2 }, { subject, lines, inC });
    const faster = ratioOf(ns.lines, ns.subject);
    const figures: Figure[] = [
      {
        id: 'G1',
        what: WHAT_LINES,
        goal: '≥ 25× faster',
        ratio: faster,
        subject: showMedian(ns.subject, 'ns/sample'),
        baseline: showMedian(ns.lines, 'ns/sample'),
        verdict: atLeast(faster, 25),
      },
    ];
    if (program === null) return [...figures, notMeasured('G1', WHAT_C, '≤ 1.8×', NO_COMPILER)];
    const ratio = ratioOf(ns.subject, ns.inC);
    figures.push({
      id: 'G1',
      what: WHAT_C,
      goal: '≤ 1.8×',
      ratio,
      subject: showMedian(ns.subject, 'ns/sample'),
      baseline: showMedian(ns.inC, 'ns/sample'),
      verdict: atMost(ratio, 1.8),
    });
    return figures;
  },
};

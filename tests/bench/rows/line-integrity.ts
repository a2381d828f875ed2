import { BinaryDecoder } from '#core/frame/binary-decoder';
import { DeviceFrames } from '../harness/device-frames.ts';
import type { Benchmark } from '../harness/figure.ts';
import { spreadOf } from '../harness/measure.ts';
import { seededRandom } from '../harness/weld-signal.ts';

const FRAMES = 200_000;
const ERROR_RATE = 1e-2;
const RATE_HZ = 1000;
const SHARE_GOAL = 0.8;

const rawOf = (i: number): number[] => [
  2000 + ((i * 37) % 900),
  2000 + ((i * 11) % 800),
  16_000 + ((i * 7) % 999),
  3000 + ((i * 13) % 900),
];

/** Every byte is another one with a chance of 1 in 100. */
function spoil(bytes: Buffer, random: () => number): void {
  for (let i = 0; i < bytes.length; i++) {
    if (random() < ERROR_RATE) bytes[i] = (bytes[i]! + 1 + Math.floor(random() * 255)) & 0xff;
  }
}

interface Outcome {
  right: number;
  wrong: number;
}

function binaryOutcome(): Outcome & { frameBytes: number } {
  const device = new DeviceFrames(RATE_HZ);
  const frames = Array.from({ length: FRAMES }, (_, i) => Buffer.from(device.next(i, [rawOf(i)])));
  const wire = Buffer.concat(frames);
  spoil(wire, seededRandom(7));
  const decoder = new BinaryDecoder();
  const outcome = { right: 0, wrong: 0, frameBytes: wire.length / FRAMES };
  const outputs = [...decoder.push(device.announcement, 0), ...decoder.push(wire, 0), ...decoder.finish()];
  for (const output of outputs) {
    if (output.kind !== 'samples') continue;
    const { n, tUs, columns } = output.chunk;
    const { weldingCurrent, arcVoltage, wireFeedSpeed, travelSpeed } = columns;
    for (let k = 0; k < n; k++) {
      const i = tUs[k]! / device.periodUs;
      const [current = 0, voltage = 0, feed = 0, travel = 0] = rawOf(i);
      const isRight =
        Number.isInteger(i) &&
        i < FRAMES &&
        weldingCurrent![k] === current / 10 &&
        arcVoltage![k] === voltage / 100 &&
        wireFeedSpeed![k] === feed / 100 &&
        travelSpeed![k] === (2 * travel) / 1000;
      if (isRight) outcome.right++;
      else outcome.wrong++;
    }
  }
  return outcome;
}

const xor8 = (text: string): number => {
  let sum = 0;
  for (let i = 0; i < text.length; i++) sum ^= text.charCodeAt(i) & 0xff;
  return sum;
};

/** Lines `$number,current,voltage,feed,travel*XX`, XX the exclusive or of what stands between. */
function textOutcome(): Outcome {
  const bodyOf = (i: number): string => `${i},${rawOf(i).join(',')}`;
  const lines = Array.from({ length: FRAMES }, (_, i) => {
    const body = bodyOf(i);
    return `$${body}*${xor8(body).toString(16).toUpperCase().padStart(2, '0')}\n`;
  });
  const wire = Buffer.from(lines.join(''), 'latin1');
  spoil(wire, seededRandom(7));
  const outcome = { right: 0, wrong: 0 };
  for (const line of wire.toString('latin1').split('\n')) {
    const match = /^\$(.*)\*([0-9A-F]{2})$/.exec(line);
    if (!match || xor8(match[1]!) !== Number.parseInt(match[2]!, 16)) continue;
    const numbers = match[1]!.split(',').map(parseFloat);
    if (numbers.length !== 5 || numbers.some(Number.isNaN)) continue;
    if (numbers.join(',') === bodyOf(numbers[0]!)) outcome.right++;
    else outcome.wrong++;
  }
  return outcome;
}

export const lineIntegrity: Benchmark = {
  id: 'G2',
  title: 'line integrity',
  how: `${FRAMES} binary frames of one sample; every byte, delimiters too, is replaced by another with a chance of ${ERROR_RATE}. What the decoder lets through is compared with what was sent. Baseline: the same readings as numbered text lines with an 8-bit exclusive-or checksum, spoilt alike, split and parseFloat, accepted when the checksum is right and there are five numbers.`,
  run: async () => {
    const binary = binaryOutcome();
    const text = textOutcome();
    const share = binary.right / FRAMES;
    return [
      {
        id: 'G2',
        what: `wrong samples accepted of ${FRAMES}`,
        goal: '0',
        ratio: null,
        subject: `${binary.wrong} wrong`,
        baseline: `${text.wrong} wrong`,
        verdict: binary.wrong === 0 ? 'met' : 'missed',
      },
      {
        id: 'G2',
        what: 'frames of one sample still accepted',
        goal: `≥ ${SHARE_GOAL}`,
        ratio: spreadOf([binary.right / text.right]),
        subject: share.toFixed(3),
        baseline: (text.right / FRAMES).toFixed(3),
        verdict: share >= SHARE_GOAL ? 'met' : 'missed',
        note: `a frame of one sample of four channels is ${binary.frameBytes.toFixed(1)} bytes with its delimiter, and any spoilt byte costs it: the error rate alone leaves ${((1 - ERROR_RATE) ** binary.frameBytes).toFixed(3)}.`,
      },
    ];
  },
};

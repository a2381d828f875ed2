/** Serial bytes: streams of good frames with noise in them, pieces of any size. */
import { AutoDecoder } from '#core/frame/auto-decoder';
import { BinaryDecoder } from '#core/frame/binary-decoder';
import { DelimitedDecoder } from '#core/frame/delimited-decoder';
import { delimitedMapSchema } from '#core/frame/delimited-map';
import type { FrameDecoder } from '#core/frame/frame-decoder';
import { TextDecoder as TextFrameDecoder } from '#core/frame/text-decoder';
import { device, encoder, frame, joined, samplesOf } from '../../unit/frame/frame-support.ts';
import type { Dice } from '../dice.ts';
import { mutateBytes } from '../mutate.ts';
import type { FuzzTarget } from '../target.ts';

/** Frames a case sends. */
const FRAMES = 10;
/** Held bytes of an unfinished frame, counters and announcements; far below what a stream brings. */
const LONGEST_STREAM = 4096;

const map = delimitedMapSchema.parse({
  time: { column: 0, unit: 'ms' },
  weldingCurrent: { column: 1, unit: 'A' },
  arcVoltage: { column: 2, unit: 'V' },
});

type Form = 'text' | 'binary' | 'delimited';

function goodStream(form: Form): Uint8Array {
  if (form === 'delimited') {
    const rows = Array.from({ length: FRAMES }, (_, i) => `${i * 10},${200 + i},24.${i}\n`);
    return new TextEncoder().encode(rows.join(''));
  }
  const frames = encoder(form, device());
  return joined(
    frames.announcementBytes,
    ...Array.from({ length: FRAMES }, (_, i) => frame(form, frames, i + 1, 1_000_000 + i * 10_000)),
  );
}

function target(name: string, form: Form, make: () => FrameDecoder): FuzzTarget {
  return {
    name: `frames, ${name}`,
    cases: 'frames',
    wholeRun: 1_000_000 / 4 / FRAMES,
    open: async () => {
      const good = goodStream(form);
      // One decoder for all cases, as one port reads for months.
      const decoder = make();
      let arrivalUs = 1_000_000;
      const push = (bytes: Uint8Array, dice: Dice | null): number => {
        let n = 0;
        for (let at = 0; at < bytes.length; ) {
          const size = dice === null ? bytes.length : 1 + dice.below(dice.chance(0.2) ? 3 : 90);
          arrivalUs += 10_000;
          const chunk = samplesOf(decoder.push(bytes.subarray(at, at + size), arrivalUs));
          requirePossible(chunk);
          n += chunk.n;
          at += size;
        }
        return n;
      };
      return {
        tryOne: dice => {
          const bad = dice.chance(0.1)
            ? dice.bytes(dice.below(LONGEST_STREAM))
            : mutateBytes(dice, good, LONGEST_STREAM);
          const before = decoder.counters.samples;
          const n = push(bad, dice);
          if (decoder.counters.samples - before !== n)
            throw new Error('the count of samples is not what came out');
          if (dice.chance(0.5)) decoder.reset();
          return n === 0 ? 'nothing accepted' : n < FRAMES ? 'some frames accepted' : 'all frames accepted';
        },
        stillWorks: () => {
          decoder.reset();
          const n = push(good, null);
          if (n < FRAMES - 1) throw new Error(`of ${FRAMES} good frames ${n} were read`);
        },
        close: () => {},
      };
    },
  };
}

function requirePossible({ n, tUs, columns }: ReturnType<typeof samplesOf>): void {
  for (let i = 0; i < n; i++) {
    if (!Number.isSafeInteger(tUs[i])) throw new Error(`time ${tUs[i]} is no count of µs`);
    const [current, voltage] = [columns.weldingCurrent?.[i] ?? 0, columns.arcVoltage?.[i] ?? 0];
    if (Math.abs(current) > 2000 || Math.abs(voltage) > 200) {
      throw new Error(`${current} A, ${voltage} V are impossible and were accepted`);
    }
  }
}

export const frameTargets: readonly FuzzTarget[] = [
  target('text', 'text', () => new TextFrameDecoder()),
  target('binary', 'binary', () => new BinaryDecoder()),
  target('delimited', 'delimited', () => new DelimitedDecoder(map, false)),
  target('found by itself', 'binary', () => new AutoDecoder()),
];

/** Which of the samples a device sent are these? Ground truth against what is stored, sample by sample. */
import { createDecoder } from '#core/frame/create-decoder';
import { CHANNELS, type Channel } from '#core/sample/channels';
import type { SampleChunk } from '#core/sample/chunk';

/** One sample as it can be recognised: its time on some clock, µs, and all its values as whole steps. */
export interface Sample {
  readonly tUs: number;
  readonly values: string;
}

export function samplesOf(chunk: SampleChunk): Sample[] {
  const columns = (Object.keys(chunk.columns) as Channel[]).sort().map(channel => ({
    column: chunk.columns[channel]!,
    stepsPerUnit: Math.round(1 / CHANNELS[channel].resolution),
  }));
  return Array.from({ length: chunk.n }, (_, i) => ({
    tUs: chunk.tUs[i]!,
    values: columns.map(({ column, stepsPerUnit }) => Math.round(column[i]! * stepsPerUnit)).join(','),
  }));
}

/** Everything in a device's recording, in device time. */
export function samplesInBytes(bytes: Uint8Array): Sample[] {
  const decoder = createDecoder({ format: 'auto' });
  const outputs = [...decoder.push(bytes, 0), ...decoder.finish()];
  return outputs.flatMap(output => (output.kind === 'samples' ? samplesOf(output.chunk) : []));
}

/**
 * The number (from 0) of each stored sample among those produced. Stored samples must be a part of what was
 * produced, in its order, each at most once; throws where one is not. Times may be shifted as a whole, anew
 * after every interruption: runs are recognised by their values and the time between them.
 */
export function numbersOf(produced: readonly Sample[], stored: readonly Sample[]): number[] {
  const byValues = new Map<string, number[]>();
  produced.forEach(({ values }, n) => {
    const known = byValues.get(values);
    if (known) known.push(n);
    else byValues.set(values, [n]);
  });
  const numbers: number[] = [];
  let last = -1;
  while (numbers.length < stored.length) {
    const from = numbers.length;
    let best: number[] = [];
    for (const candidate of byValues.get(stored[from]!.values) ?? []) {
      if (candidate <= last) continue;
      const run = runFrom(produced, candidate, stored, from);
      if (run.length > best.length) best = run;
    }
    if (best.length === 0) {
      throw new Error(
        `stored sample ${from} of ${stored.length} (at ${stored[from]!.tUs} µs) was never sent, or comes again or too late: after number ${last}`,
      );
    }
    for (const number of best) numbers.push(number);
    last = best.at(-1)!;
  }
  return numbers;
}

function runFrom(
  produced: readonly Sample[],
  first: number,
  stored: readonly Sample[],
  from: number,
): number[] {
  const run: number[] = [];
  const shift = stored[from]!.tUs - produced[first]!.tUs;
  for (let i = from, n = first; i < stored.length; i++) {
    while (n < produced.length && produced[n]!.tUs + shift < stored[i]!.tUs) n++;
    const match = produced[n];
    if (!match || match.tUs + shift !== stored[i]!.tUs || match.values !== stored[i]!.values) break;
    run.push(n);
  }
  return run;
}

/** What is missing between the first and the last number: [first missing, last missing] each. */
export function holesIn(numbers: readonly number[]): (readonly [number, number])[] {
  return numbers.flatMap((number, i) => {
    const before = numbers[i - 1];
    return before === undefined || number === before + 1 ? [] : [[before + 1, number - 1] as const];
  });
}

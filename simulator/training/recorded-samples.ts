import { CHANNEL_NAMES, CHANNELS, type Channel, isChannel } from '#core/sample/channels';
import type { SampleChunk } from '#core/sample/chunk';
import { quantise } from '#core/sample/codec';
import { ScenarioError } from '../scenario/load-scenario.ts';

/** One recorded reading: values in each channel's own unit, null where unknown. */
export interface RecordedSample {
  /** From the first sample, µs. */
  readonly tUs: number;
  readonly lengthUs: number;
  readonly values: readonly (number | null)[];
}

export interface RecordedSamples {
  readonly channels: readonly Channel[];
  readonly samples: readonly RecordedSample[];
}

/** A longer step between two samples than so many periods is a gap, and stays one. */
const GAP_PERIODS = 5;
const HEAD = ['t_us', 'length_us'];

/** Readings of a chunk with nothing else of where they came from: times count from the first. */
export function recordedOf(chunk: SampleChunk): RecordedSamples {
  const channels = CHANNEL_NAMES.filter(name => chunk.columns[name]?.some(value => !Number.isNaN(value)));
  const steps = Array.from({ length: chunk.n - 1 }, (_, i) => chunk.tUs[i + 1]! - chunk.tUs[i]!);
  const periodUs = [...steps].sort((a, b) => a - b)[steps.length >> 1] ?? 20_000;
  const samples = Array.from({ length: chunk.n }, (_, i) => {
    const step = steps[i] ?? periodUs;
    return {
      tUs: chunk.tUs[i]! - chunk.tUs[0]!,
      lengthUs: chunk.lengthUs?.[i] ?? (step <= GAP_PERIODS * periodUs ? step : periodUs),
      values: channels.map(channel => {
        const value = chunk.columns[channel]![i]!;
        return Number.isNaN(value) ? null : quantise(channel, value);
      }),
    };
  });
  return { channels, samples };
}

/** The file beside a lesson: t_us, length_us, then channels by name, in their own units (docs/training.md). */
export function samplesText({ channels, samples }: RecordedSamples): string {
  const decimals = channels.map(channel =>
    Math.max(0, -Math.floor(Math.log10(CHANNELS[channel].resolution))),
  );
  const rows = samples.map(({ tUs, lengthUs, values }) =>
    [tUs, lengthUs, ...values.map((value, i) => (value === null ? '' : value.toFixed(decimals[i])))].join(
      ',',
    ),
  );
  return `${[[...HEAD, ...channels].join(','), ...rows].join('\n')}\n`;
}

/** `name` stands for the file in messages. Throws ScenarioError with file and line. */
export function parseSamples(text: string, name: string): RecordedSamples {
  const [head = '', ...rows] = text.trimEnd().split(/\r?\n/);
  const names = head.split(',');
  const channels = names.slice(HEAD.length);
  const wrong = channels.find(channel => !isChannel(channel));
  if (names.slice(0, HEAD.length).join() !== HEAD.join() || channels.length === 0 || wrong !== undefined) {
    throw new ScenarioError(
      `${name}:1: expected ${HEAD.join(',')} and channels, found "${wrong ?? head.slice(0, 80)}"`,
    );
  }
  let lastEndUs = 0;
  const samples = rows.map((row, i): RecordedSample => {
    const cells = row.split(',').map(cell => (cell === '' ? null : Number(cell)));
    const [tUs, lengthUs, ...values] = cells;
    const bad =
      cells.length !== names.length || cells.some(value => value !== null && !Number.isFinite(value));
    if (bad || !Number.isInteger(tUs) || !Number.isInteger(lengthUs) || lengthUs! <= 0 || tUs! < lastEndUs) {
      throw new ScenarioError(`${name}:${i + 2}: not a sample of this file: "${row.slice(0, 80)}"`);
    }
    lastEndUs = tUs! + 1;
    return { tUs: tUs!, lengthUs: lengthUs!, values };
  });
  if (samples.length === 0) throw new ScenarioError(`${name}: no samples`);
  return { channels: channels as Channel[], samples };
}

/**
 * The stored samples of one pass, as they were recorded, with what is known of each. Read chunk by chunk, twice: a
 * reading turns out to be held only by those after it.
 */
import type { PassMessage } from '#core/messages/pass';
import { DEFAULT_ENGINE_SETTINGS } from '#core/pass/pass-engine';
import { CHANNEL_NAMES, type Channel } from '#core/sample/channels';
import type { SampleChunk } from '#core/sample/chunk';
import { Conditioner } from '#core/signal/conditioner';
import { GAP, HELD } from '#core/signal/interval-block';
import type { ChunkRow, DashboardStore } from '../store/store.ts';
import { ArchiveError } from './zip-stream.ts';

/** Shown before the arc and after it, µs: gas before and after, and the arc's own start and stop. */
const LEAD_US = 10_000_000;

export type SampleQuality = 'gap_before' | 'held' | 'thinned' | 'unusable';

/** One stored sample. Values are NaN where unknown. */
export interface PassSample {
  readonly tUs: number;
  /** Of its averaging interval, µs; NaN: it holds until the next. */
  readonly lengthUs: number;
  /** False for what comes before the pass was open, or after: the next pass, or nothing. */
  readonly inPass: boolean;
  readonly utcMs: number;
  /** Empty: nothing is to be said of it. */
  readonly quality: readonly SampleQuality[];
  readonly value: (channel: Channel) => number;
}

export interface PassSamples {
  /** Channels that any of its chunks has, in their usual order. */
  readonly channels: readonly Channel[];
  /** Whether samples carry the length of their averaging interval. */
  readonly timed: boolean;
  /** As the store knows it, µs. */
  readonly periodUs: number | null;
  /** In time order; the object is the same one each time. */
  readonly samples: () => Generator<PassSample>;
}

/** Null where no sample of the pass is stored. `utcOf` dates a pass anew that was recorded before the clock was set. */
export function passSamples(
  message: PassMessage,
  store: Pick<DashboardStore, 'pass' | 'sampleSpan' | 'chunkSamples'>,
  utcOf: ((tUs: number) => number) | null = null,
): PassSamples | null {
  const { site, rig, stream, startUs, endUs } = message;
  const { index } = message.pass;
  // What another pass of the stream holds is not shown here, but for the sample at which this one was cut.
  const before = store.pass(`${stream}:${index - 1}`);
  const after = store.pass(`${stream}:${index + 1}`);
  const fromUs = Math.max(0, startUs - LEAD_US, before?.endUs ?? 0);
  const untilUs = after?.startUs ?? Number.POSITIVE_INFINITY;
  const toUs = Math.max(startUs + 1, Math.min(endUs + LEAD_US, untilUs));
  const range = { kind: 'record', fromUs: Math.min(fromUs, startUs), toUs, stream } as const;
  const span = store.sampleSpan({ site, rig }, range);
  const chunks = (span?.chunks ?? []).filter(
    ({ lastUs, firstUs, kind }) => lastUs >= fromUs && firstUs <= toUs && kind !== 'summary',
  );
  if (!chunks.some(chunk => chunk.lastUs >= startUs && chunk.firstUs <= endUs)) return null;
  const [first] = chunks;
  // Never left out without a word: a file that holds fewer samples than were recorded looks like any other.
  const read = (chunk: ChunkRow): SampleChunk => {
    const samples = store.chunkSamples(chunk);
    if (samples) return samples;
    throw new ArchiveError('Samples of a pass were let go while they were read: ask again.');
  };
  const periodUs = chunks.find(chunk => chunk.periodUs !== null)?.periodUs ?? null;
  return {
    channels: CHANNEL_NAMES.filter(name => chunks.some(({ extremes }) => Object.hasOwn(extremes, name))),
    timed:
      chunks.some(({ reduced }) => reduced !== null) ||
      (first !== undefined && read(first).lengthUs !== null),
    periodUs,
    *samples() {
      const stretches = new Stretches(periodUs);
      for (const chunk of chunks) stretches.add(read(chunk));
      stretches.finish();
      const cursor = new Cursor();
      for (const chunk of chunks) {
        const samples = read(chunk);
        let clock = 0;
        for (let i = 0; i < samples.n; i++) {
          const tUs = samples.tUs[i]!;
          if (tUs < fromUs || tUs > toUs) continue;
          cursor.at(samples, i);
          cursor.inPass = tUs < untilUs;
          while (clock + 1 < chunk.wall.length && chunk.wall[clock + 1]![0] <= tUs) clock++;
          cursor.utcMs = utcOf ? utcOf(tUs) : Math.floor(tUs / 1000) + chunk.wall[clock]![1];
          cursor.quality = [
            ...stretches.of(tUs),
            ...(chunk.reduced === null ? [] : (['thinned'] as const)),
            ...(Number.isNaN(cursor.value('weldingCurrent')) || Number.isNaN(cursor.value('arcVoltage'))
              ? (['unusable'] as const)
              : []),
          ];
          yield cursor;
        }
      }
    },
  };
}

class Cursor implements PassSample {
  tUs = 0;
  lengthUs = Number.NaN;
  inPass = true;
  utcMs = 0;
  quality: readonly SampleQuality[] = [];
  private chunk: SampleChunk | null = null;
  private i = 0;

  at(chunk: SampleChunk, i: number): void {
    this.chunk = chunk;
    this.i = i;
    this.tUs = chunk.tUs[i]!;
    this.lengthUs = chunk.lengthUs?.[i] ?? Number.NaN;
  }

  readonly value = (channel: Channel): number => this.chunk?.columns[channel]?.[this.i] ?? Number.NaN;
}

/** Gaps and held runs by the rule that judged the pass live. */
class Stretches {
  private readonly gapEnds = new Set<number>();
  private readonly held: { fromUs: number; toUs: number }[] = [];
  private readonly conditioner: Conditioner;
  private at = 0;
  private endsHeld = false;

  constructor(periodUs: number | null) {
    this.conditioner = new Conditioner({
      ...DEFAULT_ENGINE_SETTINGS,
      samplePeriodS: periodUs === null ? null : periodUs / 1e6,
      heldMinCurrentA: DEFAULT_ENGINE_SETTINGS.arcStopA,
    });
  }

  add(chunk: SampleChunk): void {
    this.take(this.conditioner.push(chunk));
  }

  finish(): void {
    this.take(this.conditioner.finish());
    if (this.endsHeld) this.holdLast();
  }

  /** Asked in time order. */
  of(tUs: number): SampleQuality[] {
    while (this.at < this.held.length && this.held[this.at]!.toUs <= tUs) this.at++;
    const held = this.held[this.at];
    return [
      ...(this.gapEnds.has(tUs) ? (['gap_before'] as const) : []),
      ...(held && tUs >= held.fromUs ? (['held'] as const) : []),
    ];
  }

  private take({ length, kind, tUs, endUs }: ReturnType<Conditioner['push']>): void {
    for (let i = 0; i < length; i++) {
      if (kind[i] === GAP) {
        this.gapEnds.add(endUs[i]!);
        if (this.endsHeld) this.holdLast();
      }
      this.endsHeld = kind[i] === HELD;
      if (this.endsHeld) this.held.push({ fromUs: tUs[i]!, toUs: endUs[i]! });
    }
  }

  /** A run that nothing follows ends at its last reading, which repeats as well. */
  private holdLast(): void {
    const last = this.held.at(-1);
    if (last) last.toUs += 1;
    this.endsHeld = false;
  }
}

/** Does InfluxDB hold what is about to be let go? Every sample is read there and compared with the one here. */
import { EXIT, ProgramError } from '#core/program/program-error';
import type { SampleChunk } from '#core/sample/chunk';
import type { Settings } from '../settings.ts';
import type { PruneStream, PruneWish, Pruning } from '../store/pruning.ts';
import { keyOf } from '../store/sample-source.ts';
import { SampleTable } from '../store/sample-table.ts';
import type { Prepare } from '../store/statements.ts';
import type { ChunkRow } from '../store/store.ts';
import { StreamTable } from '../store/stream-table.ts';
import { withoutSecret } from '../without-secret.ts';
import { groupsOf } from './influx-source.ts';
import { influxBeside } from './open-influx.ts';

export interface CoveredOptions {
  readonly settings: Pick<Settings, 'data' | 'influx' | 'samples'>;
  readonly sql: Prepare;
  readonly pruning: Pick<Pruning, 'pieces'>;
  readonly wish: PruneWish;
  readonly streams: readonly PruneStream[];
  readonly onProgress: (part: number) => void;
}

/** Throws ProgramError unless InfluxDB gives every one of these samples back, exactly. */
export async function requireInInflux(options: CoveredOptions): Promise<void> {
  const { settings, sql, pruning, wish, streams, onProgress } = options;
  const samples = new SampleTable(sql, new StreamTable(sql));
  const source = await influxBeside(settings, {
    allSamples: chunks => samples.allSamples(chunks),
    chunkRecord: chunk => samples.newestRecord(chunk),
  });
  if (!source) {
    throw new ProgramError(
      '--in-influx is for a dashboard that reads its samples there: set influx = "http://HOST:PORT/DATABASE" and samples = "influx".',
      EXIT.usage,
    );
  }
  const where = `InfluxDB (${withoutSecret(settings.influx ?? '')})`;
  const total = streams.reduce((sum, { records }) => sum + records, 0);
  let done = 0;
  for (const stream of streams) {
    const chunks = [...pruning.pieces(stream, wish)].flatMap(piece => samples.chunk(piece) ?? []);
    const refuse = (why: string): ProgramError =>
      new ProgramError(
        `${where} does not hold every sample of ${stream.site}/${stream.rig} that would go: ${why}.`,
        EXIT.verification,
      );
    if (chunks.some(chunk => !source.holds(chunk))) {
      throw refuse('the dashboard has not written all of them there yet');
    }
    for (const group of groupsOf(chunks)) {
      const there = await source.readGroup(stream, stream.stream, group).catch((error: Error) => {
        throw new ProgramError(
          `${where} does not answer (${error.message}): nothing was let go.`,
          EXIT.verification,
        );
      });
      for (const chunk of group) {
        if (!isSame(there.get(keyOf(chunk)), samples.samples(chunk)))
          throw refuse(`it has others ${whenOf(chunk)}`);
      }
      done += (group.length / Math.max(1, chunks.length)) * stream.records;
      onProgress(done / total);
    }
  }
}

function isSame(there: SampleChunk | undefined, here: SampleChunk | null): boolean {
  if (!there || !here || there.n !== here.n) return false;
  const equal = (a: Float64Array | null, b: Float64Array | null | undefined): boolean =>
    a === null || !b ? a === (b ?? null) : a.every((value, i) => Object.is(value + 0, b[i]! + 0));
  return (
    equal(here.tUs, there.tUs) &&
    equal(here.lengthUs, there.lengthUs) &&
    Object.entries(here.columns).every(([name, column]) =>
      equal(column, there.columns[name as keyof typeof there.columns]),
    )
  );
}

function whenOf({ firstUs, wall }: ChunkRow): string {
  return `at ${new Date(firstUs / 1000 + wall[0]![1]).toISOString()}`;
}

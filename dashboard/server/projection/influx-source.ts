/**
 * Samples out of InfluxDB: those of records that the projection's cursor has passed. The others, and all of them while
 * InfluxDB does not answer or does not hold what the store knows to have been recorded, come from the store, and the
 * answer says so.
 */
import type { InfluxDB } from 'influx';
import { CHANNEL_NAMES, type Channel } from '#core/sample/channels';
import type { SampleChunk } from '#core/sample/chunk';
import type { RigAddress } from '#core/topics/topics';
import type { Held } from '../store/sample-rows.ts';
import { keyOf, localSource, type ReadChunks, type SampleSource } from '../store/sample-source.ts';
import type { ChunkRow, DashboardStore } from '../store/store.ts';
import { LENGTH_FIELD, RECORD_TIME_FIELD, SAMPLE_FIELDS, SAMPLES, STREAM_FIELD } from './influx-schema.ts';

export interface InfluxSourceOptions {
  readonly client: Pick<InfluxDB, 'queryRaw'>;
  readonly database: string;
  readonly store: Pick<DashboardStore, 'allSamples' | 'chunkRecord'>;
  /** The last record that is projected whole, or 0. */
  readonly passed: () => number;
}

/** What the server answers, as JSON; a wrong answer is told by what is missing from it. */
interface Answer {
  readonly results?: readonly {
    readonly error?: string;
    readonly series?: readonly { readonly values?: readonly Row[] }[];
  }[];
}

/** Time by the wall clock, record time, length, then the channels in their order. */
type Row = readonly (number | null)[];

const RECORD_TIME = 1;
const LENGTH = 2;
const FIRST_CHANNEL = 3;

/** Samples asked for at once: a quarter of an hour at 100 Hz. */
const MOST_AT_ONCE = 100_000;
/** Wall clock µs are rounded to; a batch's clock is whole milliseconds. */
const SLACK_US = 1000;

export class InfluxSource implements SampleSource {
  private readonly options: InfluxSourceOptions;

  constructor(options: InfluxSourceOptions) {
    this.options = options;
  }

  async read(address: RigAddress, stream: string, chunks: readonly ChunkRow[]): Promise<ReadChunks> {
    const there = chunks.filter(chunk => this.holds(chunk));
    const samples = new Map<string, SampleChunk>();
    let note: string | null = null;
    let reached = true;
    try {
      for (const group of groupsOf(there)) {
        for (const [key, chunk] of await this.readGroup(address, stream, group)) samples.set(key, chunk);
      }
      const missing = there.filter(chunk => !samples.has(keyOf(chunk))).length;
      if (missing > 0) note = `InfluxDB does not hold all samples of ${missing} stretches that it was given.`;
    } catch (error) {
      reached = false;
      note = `InfluxDB cannot be read (${(error as Error).message}).`;
    }
    const fromInflux = samples.size;
    const rest = chunks.filter(chunk => !samples.has(keyOf(chunk)));
    const local = await localSource(this.options.store).read(address, stream, rest);
    for (const [key, chunk] of local.samples) samples.set(key, chunk);
    const lost = chunks.length - samples.size;
    if (note !== null) {
      note +=
        lost === 0
          ? ' These are the samples that the store still has.'
          : ' The store has let some of them go: only their summaries can be shown.';
    }
    const readFrom = fromInflux === 0 ? 'store' : local.samples.size === 0 ? 'influx' : 'both';
    return { samples, readFrom, note, reached };
  }

  /** Whether its records were written there. */
  holds(chunk: Held): boolean {
    return this.options.store.chunkRecord(chunk) <= this.options.passed();
  }

  /** Those of which InfluxDB holds every sample; rejects where it does not answer. */
  async readGroup(
    { site, rig }: RigAddress,
    stream: string,
    group: readonly ChunkRow[],
  ): Promise<Map<string, SampleChunk>> {
    const fromUs = Math.min(...group.map(({ firstUs }) => firstUs));
    const toUs = Math.max(...group.map(({ lastUs }) => lastUs));
    const offsets = group.flatMap(({ wall }) => wall.map(([, offset]) => offset * 1000));
    const earliest = Math.floor(fromUs + Math.min(...offsets)) - SLACK_US;
    const latest = Math.ceil(toUs + Math.max(...offsets)) + SLACK_US;
    const fields = [RECORD_TIME_FIELD, LENGTH_FIELD, ...CHANNEL_NAMES.map(name => SAMPLE_FIELDS[name])];
    const answer: Answer = await this.options.client.queryRaw(
      `SELECT ${fields.map(field => `"${field}"`).join(', ')} FROM "${SAMPLES}"
       WHERE "site" = ${text(site)} AND "rig" = ${text(rig)} AND "${STREAM_FIELD}" = ${text(stream)}
         AND time >= ${earliest}u AND time <= ${latest}u
         AND "${RECORD_TIME_FIELD}" >= ${fromUs} AND "${RECORD_TIME_FIELD}" <= ${toUs}`,
      { database: this.options.database, precision: 'u' },
    );
    const rows = rowsOf(answer);
    rows.sort((a, b) => timeOf(a) - timeOf(b));
    const found = new Map<string, SampleChunk>();
    let at = 0;
    for (const chunk of [...group].sort((a, b) => a.firstUs - b.firstUs)) {
      while (at < rows.length && timeOf(rows[at]!) < chunk.firstUs) at++;
      const from = at;
      while (at < rows.length && timeOf(rows[at]!) <= chunk.lastUs) at++;
      const own = rows.slice(from, at);
      if (own.length === chunk.n) found.set(keyOf(chunk), chunkOf(own, Object.keys(chunk.extremes)));
    }
    return found;
  }
}

/** Chunks in order, so many that their samples can be asked for at once. */
export function groupsOf(chunks: readonly ChunkRow[]): ChunkRow[][] {
  const groups: ChunkRow[][] = [];
  let samples = Number.POSITIVE_INFINITY;
  for (const chunk of chunks) {
    if (samples + chunk.n > MOST_AT_ONCE) {
      groups.push([]);
      samples = 0;
    }
    groups.at(-1)!.push(chunk);
    samples += chunk.n;
  }
  return groups;
}

function rowsOf({ results = [] }: Answer): Row[] {
  const failed = results.find(({ error }) => error !== undefined);
  if (failed) throw new Error(failed.error);
  return results.flatMap(({ series = [] }) => series.flatMap(({ values = [] }) => values));
}

function chunkOf(rows: readonly Row[], channels: readonly string[]): SampleChunk {
  const column = (place: number): Float64Array => Float64Array.from(rows, row => row[place] ?? Number.NaN);
  const columns: { [K in Channel]?: Float64Array } = {};
  CHANNEL_NAMES.forEach((name, i) => {
    if (channels.includes(name)) columns[name] = column(FIRST_CHANNEL + i);
  });
  const lengthUs = column(LENGTH);
  return {
    n: rows.length,
    tUs: column(RECORD_TIME),
    lengthUs: lengthUs.some(Number.isNaN) ? null : lengthUs,
    columns,
  };
}

function timeOf(row: Row): number {
  return row[RECORD_TIME] ?? Number.NaN;
}

/** A string of InfluxQL; ours are ids of letters, digits and dashes. */
function text(value: string): string {
  return `'${value.replaceAll('\\', '\\\\').replaceAll("'", "\\'")}'`;
}

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
  readonly client: Pick<InfluxDB, 'query'>;
  readonly database: string;
  readonly store: Pick<DashboardStore, 'chunkSamples' | 'chunkRecord'>;
  /** The last record that is projected whole, or 0. */
  readonly passed: () => number;
}

type Row = Readonly<Record<string, number | string | null>>;

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
    const fields = [RECORD_TIME_FIELD, LENGTH_FIELD, ...Object.values(SAMPLE_FIELDS)];
    const rows = (await this.options.client.query<Row>(
      `SELECT ${fields.map(field => `"${field}"`).join(', ')} FROM "${SAMPLES}"
       WHERE "site" = ${text(site)} AND "rig" = ${text(rig)} AND "${STREAM_FIELD}" = ${text(stream)}
         AND time >= ${earliest}u AND time <= ${latest}u
         AND "${RECORD_TIME_FIELD}" >= ${fromUs} AND "${RECORD_TIME_FIELD}" <= ${toUs}`,
      { database: this.options.database, precision: 'n' },
    )) as unknown as Row[];
    const sorted = [...rows].sort((a, b) => timeOf(a) - timeOf(b));
    const found = new Map<string, SampleChunk>();
    for (const chunk of group) {
      const own = sorted.filter(row => timeOf(row) >= chunk.firstUs && timeOf(row) <= chunk.lastUs);
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

function chunkOf(rows: readonly Row[], channels: readonly string[]): SampleChunk {
  const column = (field: string): Float64Array =>
    Float64Array.from(rows, row => (typeof row[field] === 'number' ? row[field] : Number.NaN));
  const columns: { [K in Channel]?: Float64Array } = {};
  for (const name of CHANNEL_NAMES) {
    if (channels.includes(name)) columns[name] = column(SAMPLE_FIELDS[name]);
  }
  const lengthUs = column(LENGTH_FIELD);
  return {
    n: rows.length,
    tUs: column(RECORD_TIME_FIELD),
    lengthUs: lengthUs.some(Number.isNaN) ? null : lengthUs,
    columns,
  };
}

function timeOf(row: Row): number {
  return row[RECORD_TIME_FIELD] as number;
}

/** A string of InfluxQL; ours are ids of letters, digits and dashes. */
function text(value: string): string {
  return `'${value.replaceAll('\\', '\\\\').replaceAll("'", "\\'")}'`;
}

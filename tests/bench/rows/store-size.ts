import { join } from 'node:path';
import { concatChunks, type SampleChunk, sliceChunk } from '#core/sample/chunk';
import {
  atLeast,
  atMost,
  type BenchContext,
  type Benchmark,
  type Figure,
  notMeasured,
} from '../harness/figure.ts';
import { hasInfluxd, type Influxd, NO_INFLUXD, startInfluxd } from '../harness/influxd.ts';
import { ratioOf, show, showMedian, spreadOf, takeTurns } from '../harness/measure.ts';
import { fillSettled, openSettled, SETTLED_RIG } from '../harness/settled-store.ts';

const SAMPLES = 240_000;
const STORED = 960_000;
const PER_RECORD = 100;
const PER_WRITE = 5000;
const NAMES = ['weldingCurrent', 'arcVoltage', 'wireFeedSpeed', 'travelSpeed'] as const;
const SIZE = 'bytes a sample of the settled store, against InfluxDB';
const READ = `${SAMPLES} samples into arrays, against InfluxDB's JSON`;

async function write({ url }: Influxd, part: SampleChunk): Promise<void> {
  await fetch(`${url}/query?q=${encodeURIComponent('CREATE DATABASE bench')}`, { method: 'POST' });
  for (let from = 0; from < part.n; from += PER_WRITE) {
    const lines: string[] = [];
    for (let i = from; i < Math.min(part.n, from + PER_WRITE); i++) {
      const fields = NAMES.map(name => `${name}=${part.columns[name]![i]}`).join(',');
      lines.push(`weld,rig=rig-a ${fields} ${part.tUs[i]}`);
    }
    const response = await fetch(`${url}/write?db=bench&precision=u`, {
      method: 'POST',
      body: lines.join('\n'),
    });
    if (response.status !== 204)
      throw new Error(`InfluxDB answers ${response.status} ${await response.text()}`);
  }
}

/** ms until all of it stands in arrays; throws when something of it is not what was written. */
async function read({ url }: Influxd, part: SampleChunk): Promise<number> {
  const query = `SELECT ${NAMES.join(', ')} FROM weld`;
  const start = performance.now();
  const response = await fetch(`${url}/query?db=bench&epoch=u&q=${encodeURIComponent(query)}`);
  const answer = (await response.json()) as { results: { series: { values: number[][] }[] }[] };
  const values = answer.results[0]?.series[0]?.values ?? [];
  const columns = Array.from({ length: 1 + NAMES.length }, (_, c) =>
    Float64Array.from(values, value => value[c]!),
  );
  const ms = performance.now() - start;
  const isSame =
    values.length === part.n &&
    NAMES.every((name, c) => columns[c + 1]!.every((v, i) => v === part.columns[name]![i]));
  if (!isSame) throw new Error(`InfluxDB gives ${values.length} samples, or others than were written`);
  return ms;
}

export const storeSize: Benchmark = {
  id: 'G6',
  title: 'size and reading against a database of time series',
  fullOnly: true,
  how: `The pages in use of a dashboard's store with ${STORED} samples of four channels that came in batches of 1 s at 100 Hz and have settled, everything in it (hashes of the chain, summaries, indexes), by sample, against the compressed files of a real InfluxDB 1.x that was given ${SAMPLES} of the same samples as four fields, after its log is empty and its compaction has come to rest. Then ${SAMPLES} samples read into typed arrays: out of the store as in G9, and as one JSON answer of InfluxDB, parsed. Every value must be the one that was written.`,
  run: async (context: BenchContext): Promise<Figure[]> => {
    const others = [
      notMeasured(
        'G6',
        'bytes a sample, against VictoriaMetrics',
        '≤ 0.90×',
        'VictoriaMetrics is not installed',
      ),
    ];
    if (!hasInfluxd) {
      return [
        notMeasured('G6', SIZE, '≤ 0.20×', NO_INFLUXD),
        notMeasured('G6', READ, '≥ 50× faster', NO_INFLUXD),
        ...others,
      ];
    }
    const settled = fillSettled(join(context.scratch, 'size'), STORED, PER_RECORD);
    const part = sliceChunk(settled.signal, 0, SAMPLES);
    const influx = await startInfluxd(join(context.scratch, 'influxd'));
    const store = openSettled(settled);
    try {
      await write(influx, part);
      const theirs = (await influx.settledBytes()) / part.n;
      const ours = settled.bytes / STORED;
      const ratio = spreadOf([ours / theirs]);
      const range = { kind: 'record', fromUs: part.tUs[0]!, toUs: part.tUs[part.n - 1]! } as const;
      const readOurs = (): number => {
        const start = performance.now();
        const chunks = store.sampleSpan(SETTLED_RIG, range)?.chunks ?? [];
        const whole = concatChunks(chunks.map(chunk => store.chunkSamples(chunk)!));
        const ms = performance.now() - start;
        if (whole.n < part.n) throw new Error(`${whole.n} of ${part.n} samples were read`);
        return ms;
      };
      const ms = await takeTurns({ rounds: 3 }, { ours: readOurs, theirs: () => read(influx, part) });
      const faster = ratioOf(ms.theirs, ms.ours);
      return [
        {
          ...{ id: 'G6', what: SIZE, goal: '≤ 0.20×', ratio, verdict: atMost(ratio, 0.2) },
          ...{ subject: show(ours, 'B/sample'), baseline: show(theirs, 'B/sample') },
        },
        {
          ...{ id: 'G6', what: READ, goal: '≥ 50× faster', ratio: faster, verdict: atLeast(faster, 50) },
          ...{ subject: showMedian(ms.ours, 'ms'), baseline: showMedian(ms.theirs, 'ms') },
        },
        ...others,
      ];
    } finally {
      store.close();
      await influx.stop();
    }
  },
};

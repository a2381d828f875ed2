import { join } from 'node:path';
import { waitUntil } from '../../support/wait-until.ts';
import { startEdge } from '../harness/edge.ts';
import { startFeeder } from '../harness/feeder-process.ts';
import { type BenchContext, type Benchmark, notMeasured } from '../harness/figure.ts';
import { type GrowthPoint, growthFigure } from '../harness/growth.ts';
import { openLiveStream } from '../harness/live-stream.ts';
import { cpuSeconds, diskBytesWritten, hasProc, NO_PROC } from '../harness/process-costs.ts';
import { startDashboard } from '../harness/programs.ts';
import { readStoredSamples } from '../harness/stored-samples.ts';

const SIZES = [10, 50, 200, 1000];
const WARM_UP_MS = 3000;
const SECONDS = 6;
const WHAT = 'CPU of an edge with the sample rate';

interface Costs {
  readonly cpu: number;
  readonly bytes: number;
}

async function measure(context: BenchContext): Promise<Costs[]> {
  const data = join(context.scratch, 'rates-dashboard');
  const dashboard = await startDashboard(context, data);
  const feeders = await Promise.all(
    SIZES.map(rateHz => startFeeder(context, { rateHz, perFrame: 1, pty: null })),
  );
  const edges = feeders.map(({ at }, i) =>
    startEdge(context, join(context.scratch, `rate-edge-${i}`), {
      ...{ rig: `rig-${SIZES[i]}`, source: at, broker: dashboard.mqtt },
    }),
  );
  const streaming = new Set<string>();
  const close = await openLiveStream(dashboard.http, ({ rigs }) => {
    for (const { rig, live } of rigs) if (live.source.state === 'streaming') streaming.add(rig);
  });
  let costs: Costs[] = [];
  try {
    await waitUntil(
      () => streaming.size === edges.length,
      () => `all edges to stream; they say: ${edges.map(({ stderr }) => stderr()).join(' ')}`,
    );
    await new Promise(resolve => setTimeout(resolve, WARM_UP_MS));
    const read = (): Costs[] =>
      edges.map(({ child }) => ({ cpu: cpuSeconds(child.pid!), bytes: diskBytesWritten(child.pid!) }));
    const from = read();
    const started = performance.now();
    await new Promise(resolve => setTimeout(resolve, SECONDS * 1000));
    const to = read();
    const elapsedS = (performance.now() - started) / 1000;
    costs = to.map(({ cpu, bytes }, i) => ({
      cpu: (100 * (cpu - from[i]!.cpu)) / elapsedS,
      bytes: (bytes - from[i]!.bytes) / elapsedS,
    }));
  } finally {
    close();
    for (const feeder of feeders) await feeder.stop();
    for (const edge of edges) await edge.stop();
    await dashboard.stop();
  }
  readStoredSamples(data, ({ all }) => {
    for (const rateHz of SIZES) {
      const n = all(`rig-${rateHz}`, rateHz);
      if (n < SECONDS * rateHz) throw new Error(`only ${n} samples at ${rateHz} Hz came`);
    }
  });
  return costs;
}

export const rateGrowth: Benchmark = {
  id: 'RATE',
  title: 'cost against the sample rate',
  how: `Built edges fed over TCP at ${SIZES.join(', ')} Hz, a sample a frame, all at once into one built dashboard; after ${WARM_UP_MS / 1000} s of warming up, user and system time of each for ${SECONDS} s and what each sent to the disk (its write_bytes in /proc: store, head and black box). Afterwards the dashboard's store must hold every sample of every edge, without a hole in its times.`,
  run: async (context: BenchContext) => {
    if (!hasProc) return [notMeasured('RATE', WHAT, 'linear', NO_PROC)];
    const costs = await measure(context);
    const points = (of: (cost: Costs) => number): GrowthPoint[] =>
      SIZES.map((size, i) => ({ size, label: `${size} Hz`, cost: of(costs[i]!) }));
    return [
      growthFigure({
        ...{ id: 'RATE', what: WHAT, law: 'linear', points: points(({ cpu }) => cpu) },
        ...{ sizes: '', costs: 'CPU', unit: '% of a core', one: 'one Hz' },
      }),
      growthFigure({
        ...{ id: 'RATE', what: 'bytes to the disk of an edge with the sample rate', law: 'linear' },
        ...{ sizes: '', costs: 'a second', unit: 'B', one: 'a sample' },
        points: points(({ bytes }) => bytes),
      }),
    ];
  },
};

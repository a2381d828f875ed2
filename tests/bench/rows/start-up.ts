import { get } from 'node:http';
import { join } from 'node:path';
import { topicOf } from '#core/topics/topics';
import { waitUntil } from '../../support/wait-until.ts';
import { edgeConfig, startEdge } from '../harness/edge.ts';
import { startFeeder } from '../harness/feeder-process.ts';
import { atMost, type BenchContext, type Benchmark } from '../harness/figure.ts';
import { type GrowthPoint, growthFigure } from '../harness/growth.ts';
import { fillStore } from '../harness/joint-store.ts';
import { ratioOf, showMedian, takeTurns } from '../harness/measure.ts';
import { connectMqtt } from '../harness/mqtt-client.ts';
import { startBroker, startDashboard, startNode } from '../harness/programs.ts';

const RIG = 'rig-s';
const JOINTS = [10, 100, 1000, 10_000];
const ROUNDS = 7;

/** ms from the start of a Node to its end. */
async function runToEnd(args: readonly string[]): Promise<number> {
  const start = performance.now();
  const { child, stderr } = startNode(args);
  const code = await new Promise<number | null>(resolve => child.once('exit', resolve));
  if (code !== 0) throw new Error(`${args.join(' ')} ended with ${code}: ${stderr()}`);
  return performance.now() - start;
}

/** As a browser opens the page. */
const statusOf = (url: string): Promise<number> =>
  new Promise((resolve, reject) => {
    get(url, { headers: { accept: 'text/html' } }, response => {
      response.resume();
      resolve(response.statusCode ?? 0);
    }).on('error', reject);
  });

/** ms from spawn to the page of a dashboard over the store in `data`. */
async function firstPage(context: BenchContext, data: string): Promise<number> {
  const start = performance.now();
  const dashboard = await startDashboard(context, data);
  const status = await statusOf(dashboard.http);
  const took = performance.now() - start;
  await dashboard.stop();
  if (status !== 200) throw new Error(`the dashboard answers ${status}`);
  return took;
}

/** The quickest of a few starts over each store, which a busy machine spoils least. */
async function withJoints(context: BenchContext): Promise<GrowthPoint[]> {
  const stores = JOINTS.map(joints => {
    const data = join(context.scratch, `start-${joints}`);
    fillStore(data, joints);
    return { joints, data };
  });
  const ms = await takeTurns(
    { rounds: 3 },
    Object.fromEntries(stores.map(({ joints, data }) => [joints, () => firstPage(context, data)])),
  );
  return JOINTS.map(size => ({ size, cost: Math.min(...ms[size]!) }));
}

export const startUp: Benchmark = {
  id: 'G20',
  title: 'start-up',
  how: `The built dashboard with its broker and an existing store: from spawn to the first 200 of its page, asked for as soon as it says it is ready. The built edge with an existing store, a device over TCP and a broker: from spawn to the arrival of its first live message, of which it sends one every 100 ms. \`girthlog-edge config show\`: from spawn to its end. The dashboard also over stores of ${JOINTS.join(', ')} joints of two passes, in turns, the quickest of three. Baseline: \`node -e 0\` from spawn to its end.`,
  run: async context => {
    const data = join(context.scratch, 'start-dashboard');
    const folder = join(context.scratch, 'start-edge');
    const broker = await startBroker(context);
    const feeder = await startFeeder(context, { rateHz: 100, perFrame: 1, pty: null });
    const url = `mqtt://127.0.0.1:${broker.port}`;
    const reader = await connectMqtt(url);
    await reader.subscribeAsync(topicOf({ site: 'bench', rig: RIG }, 'live'));
    const source = { rig: RIG, source: feeder.at, broker: url };
    const config = edgeConfig(folder, source);
    try {
      const ms = await takeTurns(
        { rounds: ROUNDS },
        {
          dashboard: () => firstPage(context, data),
          edge: async () => {
            let first = 0;
            const note = (): void => {
              first ||= performance.now();
            };
            reader.on('message', note);
            const start = performance.now();
            const edge = startEdge(context, folder, source);
            await waitUntil(
              () => first > 0,
              () => `the edge's first live message; it says: ${edge.stderr()}`,
            );
            await edge.stop();
            reader.off('message', note);
            return first - start;
          },
          show: () =>
            runToEnd([join(context.dist, 'girthlog-edge.js'), 'config', 'show', '--config', config]),
          node: () => runToEnd(['-e', '0']),
        },
      );
      const dashboard = ratioOf(ms.dashboard, ms.node);
      const baseline = showMedian(ms.node, 'ms');
      const line = (what: string, of: readonly number[]) => ({
        id: 'G20',
        what,
        goal: 'none',
        ratio: ratioOf(of, ms.node),
        subject: showMedian(of, 'ms'),
        baseline,
        verdict: 'for information' as const,
      });
      return [
        {
          ...line('dashboard, spawn to first 200, against node -e 0', ms.dashboard),
          goal: '≤ 2.3×',
          verdict: atMost(dashboard, 2.3),
        },
        line('edge, spawn to first live message', ms.edge),
        growthFigure({
          ...{
            id: 'G20',
            what: 'dashboard, spawn to first 200, with the joints in its store',
            law: 'constant',
          },
          ...{ sizes: 'joints', costs: 'time', unit: 'ms', points: await withJoints(context) },
        }),
        line('girthlog-edge config show', ms.show),
      ];
    } finally {
      await reader.endAsync(true);
      await feeder.stop();
      await broker.stop();
    }
  },
};

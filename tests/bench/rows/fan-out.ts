import { fanOutLoad } from '../harness/fan-out.ts';
import { atMost, type Benchmark } from '../harness/figure.ts';
import { type GrowthPoint, growthFigure } from '../harness/growth.ts';
import { ratioOf, showMedian, takeTurns } from '../harness/measure.ts';

const CLIENTS = 50;
const SIZES = [1, 10, 30, 100];
const MS = 2500;

export const fanOut: Benchmark = {
  id: 'G19',
  title: 'fan-out to many browsers',
  how: `The dashboard's StreamHub in a process of its own, sixteen rigs' live values ten times a second each at moments spread over the tick, ${CLIENTS} readers of its event stream for ${MS / 1000} s: process.cpuUsage of that process. Baseline: the same values written to each reader as they come, an event for each rig. What the process costs with nobody listening, in the same rounds, is taken off both. Every reader must be given the last value of every rig, and none twice or out of order. Then the hub alone with ${SIZES.join(', ')} readers.`,
  run: async context => {
    const load = await takeTurns(
      { rounds: 3, warmUps: 0 },
      {
        hub: () => fanOutLoad(context, { clients: CLIENTS, hub: true, ms: MS }),
        each: () => fanOutLoad(context, { clients: CLIENTS, hub: false, ms: MS }),
        nobody: () => fanOutLoad(context, { clients: 0, hub: true, ms: MS }),
      },
    );
    const points: GrowthPoint[] = [];
    for (const size of SIZES) {
      points.push({ size, cost: 100 * (await fanOutLoad(context, { clients: size, hub: true, ms: MS })) });
    }
    const forReaders = (values: readonly number[]): number[] =>
      values.map((value, i) => Math.max(0, value - load.nobody[i]!));
    const [hub, each] = [forReaders(load.hub), forReaders(load.each)];
    const ratio = ratioOf(hub, each);
    const percent = (values: readonly number[]): string =>
      showMedian(
        values.map(share => 100 * share),
        '% of a core',
      );
    return [
      {
        id: 'G19',
        what: `${CLIENTS} browsers, one frame a tick against a frame for each rig`,
        goal: '≤ 0.30×',
        ratio,
        subject: percent(hub),
        baseline: percent(each),
        verdict: atMost(ratio, 0.3),
      },
      growthFigure({
        ...{ id: 'G19', what: 'CPU of the stream with the browsers', law: 'linear', points },
        ...{ sizes: 'browsers', costs: 'CPU', unit: '% of a core', one: 'one' },
      }),
    ];
  },
};

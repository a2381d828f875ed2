import { join } from 'node:path';
import type { Samples } from '#core/messages/api';
import { type Backlog, drain, fillBacklog } from '../harness/backlog.ts';
import type { BenchContext, Benchmark } from '../harness/figure.ts';
import { type GrowthPoint, growthFigure } from '../harness/growth.ts';
import { openStore } from '../harness/long-joint.ts';
import { spreadOf } from '../harness/measure.ts';
import { startDashboard } from '../harness/programs.ts';
import { RECORD_HEADER } from '../harness/record-header.ts';
import { settleAll } from '../harness/settled-store.ts';

const SIZES = [
  { label: '1 min', seconds: 60 },
  { label: '10 min', seconds: 600 },
  { label: '1 h', seconds: 3600 },
  { label: '8 h', seconds: 28_800 },
];
/** As many as the page asks for at most. */
const POINTS = 1000;
const AGAIN = 9;

/** ms from the request to the last byte of a chart's answer over the first `seconds` of a backlog. */
async function chartMs(http: string, backlog: Backlog, seconds: number): Promise<number> {
  const { rig, startUs } = backlog;
  const range = new URLSearchParams({
    from: String(startUs),
    to: String(startUs + seconds * 1e6),
    points: String(POINTS),
  });
  const start = performance.now();
  const response = await fetch(`${http}/api/v1/rigs/${RECORD_HEADER.site}/${rig}/samples?${range}`);
  const text = await response.text();
  const ms = performance.now() - start;
  if (!response.ok) throw new Error(`the samples: ${response.status} ${text.slice(0, 200)}`);
  const { series } = JSON.parse(text) as Samples;
  const drawn = series[0]?.tUs.length ?? 0;
  if (series.length !== 4 || drawn < 0.9 * POINTS) {
    throw new Error(`${series.length} channels of ${drawn} buckets over ${seconds} s`);
  }
  return ms;
}

export const backlogGrowth: Benchmark = {
  id: 'BACKLOG',
  title: 'cost against the length of what is stored',
  how: `Edges' stores filled with 1 min to 8 h of batches of 1 s, drained one after another by the built edge into one built dashboard, timed and checked as in G13, in seconds; the shortest twice, its first taking away what the programs' first minute costs. Then, the store settled as a dashboard does ten minutes later, a chart of ${POINTS} buckets of four channels over the first 1 min to 8 h of the longest, from the request to the last byte of the answer: the quickest of ${AGAIN}, after one that is not counted. A chart is to cost the same whatever it spans.`,
  run: async (context: BenchContext) => {
    const data = join(context.scratch, 'backlog-dashboard');
    let dashboard = await startDashboard(context, data);
    try {
      const drained: GrowthPoint[] = [];
      let longest: Backlog | null = null;
      for (const [i, { label, seconds }] of [SIZES[0]!, ...SIZES].entries()) {
        const rig = `rig-b${i}`;
        longest = fillBacklog(join(context.scratch, rig), rig, seconds);
        const cost = await drain(context, dashboard.mqtt, longest);
        if (i > 0) drained.push({ size: seconds / 60, label, cost });
      }
      // A dashboard settles samples ten minutes after they came; nobody waits for that here.
      await dashboard.stop();
      const store = openStore(data);
      settleAll(store);
      store.close();
      dashboard = await startDashboard(context, data);
      const charts: GrowthPoint[] = [];
      for (const { label, seconds } of SIZES) {
        await chartMs(dashboard.http, longest!, seconds);
        const all: number[] = [];
        for (let i = 0; i < AGAIN; i++) all.push(await chartMs(dashboard.http, longest!, seconds));
        charts.push({ size: seconds / 60, label, cost: spreadOf(all).low });
      }
      return [
        growthFigure({
          ...{ id: 'BACKLOG', what: 'time to drain a backlog', law: 'linear' },
          ...{ sizes: 'of backlog', costs: 'time', unit: 's', one: 'a minute', points: drained },
        }),
        growthFigure({
          ...{ id: 'BACKLOG', what: 'a screen of a chart', law: 'constant' },
          ...{ sizes: 'on the chart', costs: 'answer', unit: 'ms', points: charts },
        }),
      ];
    } finally {
      await dashboard.stop();
    }
  },
};

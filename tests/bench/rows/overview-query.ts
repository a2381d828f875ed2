import { readSamples } from '../../../dashboard/server/api/sample-reader.ts';
import { atMost, type BenchContext, type Benchmark } from '../harness/figure.ts';
import { ratioOf, showMedian, takeTurns } from '../harness/measure.ts';
import {
  openSettled,
  SETTLED_RATE_HZ,
  SETTLED_RIG,
  SETTLED_SAMPLES,
  settledStore,
} from '../harness/settled-store.ts';

const POINTS = 1000;
/** Queries a turn: whoever looks at a chart moves it. The pass has emptied the processor's caches before the first. */
const A_TURN = 5;

interface Extremes {
  readonly min: Float64Array;
  readonly max: Float64Array;
}

/** One plain pass over samples that lie in memory: least and greatest of each bucket. */
function plainPass(
  tUs: Float64Array,
  values: Float64Array,
  fromUs: number,
  widthUs: number,
  n: number,
): Extremes {
  const min = new Float64Array(n).fill(Number.POSITIVE_INFINITY);
  const max = new Float64Array(n).fill(Number.NEGATIVE_INFINITY);
  for (let i = 0; i < tUs.length; i++) {
    const bucket = Math.floor((tUs[i]! - fromUs) / widthUs);
    const value = values[i]!;
    if (value < min[bucket]!) min[bucket] = value;
    if (value > max[bucket]!) max[bucket] = value;
  }
  return { min, max };
}

export const overviewQuery: Benchmark = {
  id: 'G10',
  title: 'overview query',
  how: `The whole of ${SETTLED_SAMPLES / 1e6} million samples of four channels at ${SETTLED_RATE_HZ} Hz (five and a half hours) as ${POINTS} buckets with their least and greatest, as the page asks for them: out of the dashboard's store on disk, through the summaries of its stretches. Baseline: one plain pass over the same four columns as they lie in memory, decoded beforehand, which is more than any program without summaries can begin with. Both have run before, as in a dashboard that has been up for a while; a turn is ${A_TURN} queries, as of a chart that is moved, against one pass, and what the first of them took is said beside it. Every bucket must have exactly the extremes that the pass finds.`,
  run: async (context: BenchContext) => {
    const settled = settledStore(context);
    const { tUs, n, columns } = settled.signal;
    const store = openSettled(settled);
    const range = { kind: 'record', fromUs: tUs[0]!, toUs: tUs[n - 1]! } as const;
    const names = ['weldingCurrent', 'arcVoltage', 'wireFeedSpeed', 'travelSpeed'] as const;
    const query = () => readSamples(store, SETTLED_RIG, range, { points: POINTS });
    try {
      const { series } = query();
      const starts = series[0]?.tUs ?? [];
      const widthUs = starts[1]! - starts[0]!;
      // Buckets lie on a grid of round times: the first may begin before the range.
      const originUs = Math.floor(range.fromUs / widthUs) * widthUs;
      const count = Math.floor((range.toUs - originUs) / widthUs) + 1;
      const pass = () => names.map(name => plainPass(tUs, columns[name]!, originUs, widthUs, count));
      for (const [c, found] of pass().entries()) {
        const { min, max } = series.find(({ channel }) => channel === names[c])!;
        const least = Array.from(found.min).filter(Number.isFinite);
        const most = Array.from(found.max).filter(Number.isFinite);
        const isSame =
          least.length === min.length &&
          least.every((v, i) => v === min[i]) &&
          most.every((v, i) => v === max[i]);
        if (!isSame)
          throw new Error(`${names[c]}: the extremes of ${min.length} buckets are not those of the samples`);
      }
      const timed = (work: () => unknown): number => {
        const start = performance.now();
        work();
        return performance.now() - start;
      };
      const firsts: number[] = [];
      const often = (): number => {
        const each = Array.from({ length: A_TURN }, () => timed(query));
        firsts.push(each[0]!);
        return each.reduce((sum, one) => sum + one, 0) / A_TURN;
      };
      const ms = await takeTurns({ rounds: 15, warmUps: 30 }, { query: often, pass: () => timed(pass) });
      const ratio = ratioOf(ms.query, ms.pass);
      return [
        {
          id: 'G10',
          what: `${POINTS} buckets over ${SETTLED_SAMPLES / 1e6} million samples, against a pass over them`,
          goal: '≤ 1/30',
          ratio,
          subject: showMedian(ms.query, 'ms'),
          baseline: showMedian(ms.pass, 'ms'),
          verdict: atMost(ratio, 1 / 30),
          note: `1/${(1 / ratio.median).toFixed(1)}; the first of each turn took ${showMedian(firsts.slice(-15), 'ms')}; all extremes are kept.`,
        },
      ];
    } finally {
      store.close();
    }
  },
};

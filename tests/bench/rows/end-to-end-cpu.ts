import { join } from 'node:path';
import { waitUntil } from '../../support/wait-until.ts';
import { startEdge } from '../harness/edge.ts';
import { startFeeder } from '../harness/feeder-process.ts';
import { atMost, type BenchContext, type Benchmark, notMeasured } from '../harness/figure.ts';
import { openLiveStream } from '../harness/live-stream.ts';
import { ratioOf, showMedian, takeTurns } from '../harness/measure.ts';
import { cpuSeconds, hasProc, NO_PROC } from '../harness/process-costs.ts';
import { startBroker, startDashboard } from '../harness/programs.ts';
import { startRole } from '../harness/role.ts';
import { readStoredSamples } from '../harness/stored-samples.ts';
import type { PlainAnswer } from '../roles/plain-pipeline.ts';

const RIGS = 16;
const RATE_HZ = 100;
/** Edges run for months: what V8 spends on compiling them in their first seconds is nobody's cost of a sample. */
const WARM_UP_MS = 10_000;
const WINDOW_MS = 5000;
/** Counted, not timed: where the disk is slow its rows queue up, and all of them must arrive. */
const PLAIN_FRAMES = 1500;
const PLAIN_WARM_UP_FRAMES = 750;
const ARRIVE_MS = 150_000;
const ASK_EVERY_MS = 200;
const ROUNDS = 2;
const WHAT = `CPU for a sample from device to store, ${RIGS} rigs at ${RATE_HZ} Hz`;
const GOAL = 1 / 7;

const pause = (ms: number): Promise<void> => new Promise(resolve => setTimeout(resolve, ms));
const sum = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0);
const rigName = (i: number): string => `rig-${i}`;

/** µs of edges and dashboard for each sample that was captured in the window and stored. */
async function ofPrograms(context: BenchContext, round: number): Promise<number> {
  const data = join(context.scratch, `cpu-dashboard-${round}`);
  const dashboard = await startDashboard(context, data);
  const feeder = await startFeeder(context, { rateHz: RATE_HZ, perFrame: 1, pty: null });
  const edges = Array.from({ length: RIGS }, (_, i) =>
    startEdge(context, join(context.scratch, `cpu-edge-${round}-${i}`), {
      ...{ rig: rigName(i), source: feeder.at, broker: dashboard.mqtt },
    }),
  );
  const streaming = new Set<string>();
  const close = await openLiveStream(dashboard.http, ({ rigs }) => {
    for (const { rig, live } of rigs) if (live.arc === 'on') streaming.add(rig);
  });
  let cpuS = 0;
  let window: readonly [number, number] = [0, 0];
  try {
    await waitUntil(
      () => streaming.size === RIGS,
      () => `${RIGS - streaming.size} edges to show an arc; ${edges.map(({ stderr }) => stderr()).join(' ')}`,
      120_000,
    );
    close();
    await pause(WARM_UP_MS);
    const read = (): number => sum([dashboard, ...edges].map(({ child }) => cpuSeconds(child.pid!)));
    const [from, fromMs] = [read(), Date.now()];
    await pause(WINDOW_MS);
    cpuS = read() - from;
    window = [fromMs, Date.now()];
  } finally {
    close();
    await feeder.stop();
    for (const edge of edges) await edge.stop();
    await dashboard.stop();
  }
  return readStoredSamples(data, ({ all, between }) => {
    const counted = Array.from({ length: RIGS }, (_, i) => {
      all(rigName(i), RATE_HZ);
      return between(rigName(i), ...window);
    });
    return (1e6 * cpuS) / sum(counted);
  });
}

/** The same of the plain pipeline. */
async function ofPlain(context: BenchContext, round: number): Promise<number> {
  const file = (name: string): string => join(context.scratch, `plain-${round}-${name}.db`);
  const broker = await startBroker(context);
  const url = `mqtt://127.0.0.1:${broker.port}`;
  const mark = PLAIN_WARM_UP_FRAMES;
  const server = await startRole(context, 'plain-server', [url, file('server'), `${RIGS * mark}`]);
  const feeder = await startFeeder(context, {
    ...{ rateHz: RATE_HZ, perFrame: 1, pty: null, lines: true, readers: RIGS },
    frames: PLAIN_FRAMES,
  });
  const { hostname, port } = new URL(feeder.at);
  const brokerFromS = cpuSeconds(broker.pid);
  const edges = await Promise.all(
    Array.from({ length: RIGS }, (_, i) => {
      const name = rigName(i);
      return startRole(context, 'plain-edge', [name, hostname, port, url, file(name), `${mark}`]);
    }),
  );
  try {
    const end = performance.now() + ARRIVE_MS;
    const rows = RIGS * PLAIN_FRAMES;
    let stored = await server.ask<PlainAnswer>({});
    while (stored.count < rows) {
      if (performance.now() > end)
        throw new Error(`the plain pipeline: ${stored.count} of ${rows} rows arrived`);
      // Asked seldom: to answer costs the server, too.
      await pause(ASK_EVERY_MS);
      stored = await server.ask<PlainAnswer>({});
    }
    const sent = await Promise.all(edges.map(edge => edge.ask<PlainAnswer>({})));
    if (sum(sent.map(({ count }) => count)) !== rows) throw new Error('a plain row came twice');
    const sinceMark = ({ cpuS, atMarkS }: PlainAnswer): number => cpuS - atMarkS!;
    const counted = RIGS * (PLAIN_FRAMES - PLAIN_WARM_UP_FRAMES);
    const brokerS = cpuSeconds(broker.pid) - brokerFromS;
    return 1e6 * ((sum(sent.map(sinceMark)) + sinceMark(stored)) / counted + brokerS / rows);
  } finally {
    await feeder.stop();
    for (const edge of edges) await edge.stop();
    await server.stop();
    await broker.stop();
  }
}

export const endToEndCpu: Benchmark = {
  id: 'G14',
  title: 'CPU from end to end',
  how: `${RIGS} built edges, each reading ${RATE_HZ} binary frames a second of one sample over TCP, and the built dashboard with its broker: user and system time of all of them for ${WINDOW_MS / 1000} s after a warm-up of ${WARM_UP_MS / 1000} s, divided by the samples captured in that time that stand in the dashboard's store; no rig's times there may have a hole. That is everything the product does with a sample: engine, seals, live picture, hash chain. Baseline: ${RIGS} plain edges and a plain server (tests/bench/roles/plain-pipeline.ts) over the same broker: a text line, a row and a commit, a JSON message at QoS 1, a row and a commit for each sample, nothing else; both durable with synchronous=FULL, and every line must become a row (${PLAIN_FRAMES} of each rig, the first ${PLAIN_WARM_UP_FRAMES} for warming up, the broker's share over all of them). Devices are not counted.`,
  run: async (context: BenchContext) => {
    if (!hasProc) return [notMeasured('G14', WHAT, '≤ 1/7', NO_PROC)];
    const rounds = { programs: 0, plain: 0 };
    const us = await takeTurns(
      { rounds: ROUNDS, warmUps: 0 },
      {
        programs: () => ofPrograms(context, rounds.programs++),
        plain: () => ofPlain(context, rounds.plain++),
      },
    );
    const ratio = ratioOf(us.programs, us.plain);
    return [
      {
        id: 'G14',
        what: WHAT,
        goal: '≤ 1/7',
        ratio,
        subject: showMedian(us.programs, 'µs/sample'),
        baseline: showMedian(us.plain, 'µs/sample'),
        verdict: atMost(ratio, GOAL),
        note: `1/${(1 / ratio.median).toFixed(1)}.`,
      },
    ];
  },
};

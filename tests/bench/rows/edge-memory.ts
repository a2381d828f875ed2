import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { createPassEngine, DEFAULT_ENGINE_SETTINGS } from '#core/pass/pass-engine';
import { batchBodies } from '../../../edge/capture/batch-bodies.ts';
import { OutboxStore } from '../../../edge/outbox/outbox-store.ts';
import { waitUntil } from '../../support/wait-until.ts';
import { startEdge } from '../harness/edge.ts';
import { startFeeder } from '../harness/feeder-process.ts';
import { type BenchContext, type Benchmark, type Figure, notMeasured } from '../harness/figure.ts';
import { openLiveStream } from '../harness/live-stream.ts';
import { show, spreadOf } from '../harness/measure.ts';
import { residentMb } from '../harness/process-costs.ts';
import { startDashboard, startNode } from '../harness/programs.ts';
import { RECORD_HEADER } from '../harness/record-header.ts';
import { PERIOD_S, weldSecond, weldSignal } from '../harness/weld-signal.ts';

const WARM_UP_S = 10;
const WATCH_S = 20;
const EVERY_MS = 250;
/** Promises: what bad input or a hung broker may cost an edge (R10, F13). */
const GROWTH_GOAL_MB = 20;
const HOUR_S = 3600;
const RATE_HZ = 100;

const mean = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0) / values.length;

async function watchPrograms(context: BenchContext): Promise<Figure[]> {
  const dashboard = await startDashboard(context, join(context.scratch, 'memory-dashboard'));
  const idle = startNode(['-e', 'setInterval(() => {}, 1000)']);
  const rates = [
    { rateHz: 100, perFrame: 1 },
    { rateHz: 1000, perFrame: 10 },
  ];
  const feeders = await Promise.all(rates.map(rate => startFeeder(context, { ...rate, pty: null })));
  const edges = feeders.map(({ at }, i) =>
    startEdge(context, join(context.scratch, `memory-edge-${i}`), {
      rig: `rig-${i}`,
      source: at,
      broker: dashboard.mqtt,
    }),
  );
  const streaming = new Set<string>();
  const close = await openLiveStream(dashboard.http, ({ rigs }) => {
    for (const { rig, live } of rigs) if (live.arc === 'on') streaming.add(rig);
  });
  try {
    await waitUntil(
      () => streaming.size === edges.length,
      () => `both edges to show an arc; they say: ${edges.map(({ stderr }) => stderr()).join(' ')}`,
    );
    close();
    await new Promise(resolve => setTimeout(resolve, WARM_UP_S * 1000));
    const idleMb: number[] = [];
    const edgeMb: number[][] = edges.map(() => []);
    for (let at = 0; at < WATCH_S * 1000; at += EVERY_MS) {
      idleMb.push(residentMb(idle.child.pid!));
      for (const [i, { child }] of edges.entries()) edgeMb[i]!.push(residentMb(child.pid!));
      await new Promise(resolve => setTimeout(resolve, EVERY_MS));
    }
    return rates.flatMap(({ rateHz }, i) => {
      const values = edgeMb[i]!;
      const quarter = Math.floor(values.length / 4);
      const growthMb = mean(values.slice(-quarter)) - mean(values.slice(0, quarter));
      const idleLevel = spreadOf(idleMb).median;
      return [
        {
          id: 'MEM',
          what: `edge at ${rateHz} Hz, resident, against an idle Node`,
          goal: 'none',
          ratio: spreadOf(values.map(value => value / idleLevel)),
          subject: show(spreadOf(values).median, 'MB'),
          baseline: show(idleLevel, 'MB'),
          verdict: 'for information' as const,
        },
        {
          id: 'MEM',
          what: `edge at ${rateHz} Hz, growth in ${WATCH_S} s, last quarter less first`,
          goal: `≤ ${GROWTH_GOAL_MB} MB`,
          ratio: null,
          subject: `${growthMb.toFixed(1)} MB`,
          baseline: `${(mean(idleMb.slice(-quarter)) - mean(idleMb.slice(0, quarter))).toFixed(1)} MB`,
          verdict: growthMb <= GROWTH_GOAL_MB ? ('met' as const) : ('missed' as const),
        },
      ];
    });
  } finally {
    for (const edge of edges) await edge.stop();
    for (const feeder of feeders) await feeder.stop();
    await idle.stop();
    await dashboard.stop();
  }
}

/** An hour of samples through engine and outbox; heap in use after a collection, MB, every ten minutes. */
function hourOfHeap(scratch: string): number[] {
  setFlagsFromString('--expose-gc');
  const collect = runInNewContext('gc') as () => void;
  const period = weldSignal(PERIOD_S * RATE_HZ, RATE_HZ);
  const engine = createPassEngine({ ...DEFAULT_ENGINE_SETTINGS, samplePeriodS: 1 / RATE_HZ });
  const store = new OutboxStore({
    path: join(scratch, 'hour.db'),
    requiredStores: ['truck'],
    monotonicMs: () => performance.now(),
    wallMs: () => Date.now(),
  });
  store.open();
  const heapMb: number[] = [];
  for (let second = 0; second < HOUR_S; second++) {
    const samples = weldSecond(period, RATE_HZ, second);
    engine.push(samples);
    // Passes and events are the recorder's to stamp; here it is enough that they are taken.
    engine.drain();
    engine.live();
    const batches = batchBodies(RECORD_HEADER, { samples, events: [], passes: [] });
    store.append(
      batches.map(({ text }) => ({
        body: text,
        closedUs: second * 1e6,
        closedUtcMs: second * 1000,
        state: {},
      })),
    );
    if ((second + 1) % 600 !== 0) continue;
    collect();
    heapMb.push(process.memoryUsage().heapUsed / 2 ** 20);
  }
  store.close();
  return heapMb;
}

export const edgeMemory: Benchmark = {
  id: 'MEM',
  title: 'edge memory',
  fullOnly: true,
  how: `Two built edges, one fed at 100 Hz (a sample a frame), one at 1 kHz (ten a frame) over TCP, both recording to disk and to a built dashboard that acknowledges: after ${WARM_UP_S} s of warming up the resident size (VmRSS) is read every ${EVERY_MS} ms for ${WATCH_S} s of real time, beside a Node that does nothing. ${WATCH_S} s show a level and a gross leak, not a slow one; therefore also, in one process, an hour of samples at ${RATE_HZ} Hz through engine, encoder and outbox as fast as they go, with the heap in use after a collection every ten minutes: the last against the first.`,
  run: async context => {
    const watched = existsSync('/proc/self/status')
      ? await watchPrograms(context)
      : [notMeasured('MEM', 'edge, resident', 'none', 'there is no /proc here')];
    const heapMb = hourOfHeap(context.scratch);
    const ratio = spreadOf([heapMb.at(-1)! / heapMb[0]!]);
    return [
      ...watched,
      {
        id: 'MEM',
        what: 'heap after 60 min of samples against 10 min',
        goal: '≤ 1.05× (our own)',
        ratio,
        subject: show(heapMb.at(-1)!, 'MB'),
        baseline: show(heapMb[0]!, 'MB'),
        verdict: ratio.median <= 1.05 ? 'met' : 'missed',
        note: `every ten minutes: ${heapMb.map(mb => mb.toFixed(2)).join(', ')} MB.`,
      },
    ];
  },
};

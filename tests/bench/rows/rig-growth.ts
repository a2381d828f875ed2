import { join } from 'node:path';
import type { Ack } from '#core/messages/ack';
import { topicOf } from '#core/topics/topics';
import { waitUntil } from '../../support/wait-until.ts';
import { type BenchContext, type Benchmark, notMeasured } from '../harness/figure.ts';
import { type GrowthPoint, growthFigure } from '../harness/growth.ts';
import { liveMessage } from '../harness/live-message.ts';
import { openLiveStream } from '../harness/live-stream.ts';
import { connectMqtt } from '../harness/mqtt-client.ts';
import { cpuSeconds, hasProc, NO_PROC } from '../harness/process-costs.ts';
import { startDashboard } from '../harness/programs.ts';
import { RecordChain } from '../harness/record-chain.ts';
import { RECORD_HEADER } from '../harness/record-header.ts';
import { PERIOD_S, weldSecond, weldSignal } from '../harness/weld-signal.ts';

const SIZES = [1, 4, 16, 64];
const RATE_HZ = 100;
const LIVE_HZ = 10;
const SECONDS = 5;
const SITE = RECORD_HEADER.site;
const WHAT = 'CPU of dashboard and broker with the rigs';

/** CPU of dashboard and broker for one second that `rigs` rigs weld, ms. */
async function loadWith(context: BenchContext, rigs: number): Promise<number> {
  const dashboard = await startDashboard(context, join(context.scratch, `rigs-${rigs}`));
  const client = await connectMqtt(dashboard.mqtt);
  const period = weldSignal(PERIOD_S * RATE_HZ, RATE_HZ);
  const startUs = Date.now() * 1000;
  const chains = Array.from({ length: rigs }, (_, i) => new RecordChain(`rig-${i}`));
  const upto = new Map<string, number>();
  const shown = new Map<string, number>();
  client.on('message', (topic, payload) => {
    upto.set(topic.split('/')[3]!, (JSON.parse(payload.toString()) as Ack).upto);
  });
  await client.subscribeAsync(`girthlog/1/${SITE}/+/ack/truck`, { qos: 1 });
  const close = await openLiveStream(dashboard.http, frame => {
    for (const { rig, live } of frame.rigs) shown.set(rig, live.tUs);
  });
  const live = liveMessage(0);
  let second = 0;
  const record = (chain: RecordChain): void => {
    const message = chain.next(weldSecond(period, RATE_HZ, chain.seq, startUs));
    client.publish(topicOf({ site: SITE, rig: chain.rig }, 'record'), JSON.stringify(message), { qos: 1 });
  };
  const show = (rig: string, tUs: number): void => {
    client.publish(topicOf({ site: SITE, rig }, 'live'), JSON.stringify({ ...live, tUs }), { qos: 0 });
  };
  const allStored = (): boolean => chains.every(({ rig, seq }) => upto.get(rig) === seq);
  try {
    // A first second that is not counted: places, streams, compiled ways.
    for (const chain of chains) record(chain);
    await waitUntil(allStored, `the first record of ${rigs} rigs`);
    const from = cpuSeconds(dashboard.child.pid!);
    const started = performance.now();
    const ticks = SECONDS * LIVE_HZ * rigs;
    for (let tick = 0; tick < ticks; tick++) {
      // Every rig at its own moment of the tenth of a second.
      const dueMs = (1000 * tick) / LIVE_HZ / rigs;
      const waitMs = dueMs - (performance.now() - started);
      if (waitMs > 1) await new Promise(resolve => setTimeout(resolve, waitMs));
      const round = Math.floor(tick / rigs);
      const chain = chains[tick % rigs]!;
      show(chain.rig, round + 1);
      if (round % LIVE_HZ === 0) record(chain);
      second = round / LIVE_HZ;
    }
    await waitUntil(
      () => allStored() && chains.every(({ rig }) => shown.get(rig) === SECONDS * LIVE_HZ),
      () => `all of ${rigs} rigs after ${second} s: ${upto.size} acknowledged, ${shown.size} shown`,
    );
    // By what was welded, not by the clock: on a busy machine it takes longer.
    return (1000 * (cpuSeconds(dashboard.child.pid!) - from)) / SECONDS;
  } finally {
    close();
    await client.endAsync(true);
    await dashboard.stop();
  }
}

export const rigGrowth: Benchmark = {
  id: 'RIGS',
  title: 'cost against the number of rigs',
  how: `The built dashboard with its broker and one event-stream reader; ${SIZES.join(', ')} rigs, each ${LIVE_HZ} live messages and one record of ${RATE_HZ} samples a second at moments of its own, for ${SECONDS} s: user and system time of both processes from /proc, for each second welded. Every record must be acknowledged, and every rig's last live message shown.`,
  run: async (context: BenchContext) => {
    if (!hasProc) return [notMeasured('RIGS', WHAT, 'linear', NO_PROC)];
    const points: GrowthPoint[] = [];
    for (const size of SIZES) points.push({ size, cost: await loadWith(context, size) });
    return [
      growthFigure({
        ...{ id: 'RIGS', what: WHAT, law: 'linear', points },
        ...{ sizes: 'rigs', costs: 'CPU a second', unit: 'ms', one: 'a rig' },
      }),
    ];
  },
};

import { join } from 'node:path';
import { topicOf } from '#core/topics/topics';
import { waitUntil } from '../../support/wait-until.ts';
import { burningSample, DeviceFrames, FOUR_CHANNELS } from '../harness/device-frames.ts';
import { startEdge } from '../harness/edge.ts';
import { atMost, type BenchContext, type Benchmark, type Figure } from '../harness/figure.ts';
import { liveMessage } from '../harness/live-message.ts';
import { openLiveStream } from '../harness/live-stream.ts';
import { quantile, show, spreadOf } from '../harness/measure.ts';
import { connectMqtt } from '../harness/mqtt-client.ts';
import { type Program, startDashboard } from '../harness/programs.ts';
import { TcpDevice } from '../harness/tcp-device.ts';
import { seededRandom } from '../harness/weld-signal.ts';

/** The dashboard's live tick, and the edge's (dashboard/server/live/stream-hub.ts, edge/edge-process.ts). */
const TICK_MS = 100;
/** Longer than a tick: no message is overtaken by its own rig's next. */
const LEAST_PAUSE_MS = 120;
const RIGS = 16;
const ROUNDS = 3;
const ROUND_S = 4;
const RATE_HZ = 100;
const STEPS = 60;

type Dashboard = Program & { http: string; mqtt: string };

/** Publishes at times that have nothing to do with the tick; ms from publish to the browser's socket. */
async function publishedLatencies(dashboard: Dashboard): Promise<{ rounds: number[][]; overtaken: number }> {
  // A connection for each rig, as edges have.
  const clients = await Promise.all(Array.from({ length: RIGS }, () => connectMqtt(dashboard.mqtt)));
  const random = seededRandom(3);
  const sentAt = new Map<string, number>();
  let latencies: number[] = [];
  const close = await openLiveStream(dashboard.http, ({ rigs }) => {
    for (const { rig, live } of rigs) {
      const key = `${rig}:${live.tUs}`;
      const sent = sentAt.get(key);
      if (sent === undefined) continue;
      sentAt.delete(key);
      latencies.push(performance.now() - sent);
    }
  });
  const rounds: number[][] = [];
  let overtaken = 0;
  let tUs = 1;
  for (let round = -1; round < ROUNDS; round++) {
    latencies = [];
    sentAt.clear();
    const end = performance.now() + ROUND_S * 1000;
    await Promise.all(
      clients.map(async (client, i) => {
        const topic = topicOf({ site: 'bench', rig: `rig-${i}` }, 'live');
        while (performance.now() < end) {
          await new Promise(resolve => setTimeout(resolve, LEAST_PAUSE_MS + random() * TICK_MS));
          const message = liveMessage(tUs++);
          sentAt.set(`rig-${i}:${message.tUs}`, performance.now());
          client.publish(topic, JSON.stringify(message), { qos: 0 });
        }
      }),
    );
    await new Promise(resolve => setTimeout(resolve, 5 * TICK_MS));
    if (round < 0) continue;
    rounds.push(latencies.sort((a, b) => a - b));
    overtaken += sentAt.size;
  }
  close();
  for (const client of clients) await client.endAsync(true);
  return { rounds, overtaken };
}

/** A device whose program number changes now and then: a value that is shown as it is, not averaged. */
class SteppingDevice extends TcpDevice {
  program = 1;

  constructor() {
    super(new DeviceFrames(RATE_HZ, [...FOUR_CHANNELS, 'program']), i => [...burningSample(i), this.program]);
  }

  /** A frame with the new number at once. */
  step(): number {
    this.program++;
    this.send();
    return performance.now();
  }
}

/** ms from a byte on the edge's source to the browser's socket, ascending. */
async function endToEndLatencies(context: BenchContext, dashboard: Dashboard): Promise<number[]> {
  const device = new SteppingDevice();
  const source = await device.start();
  const edge = startEdge(context, join(context.scratch, 'live-edge'), {
    rig: 'rig-e',
    source,
    broker: dashboard.mqtt,
  });
  const random = seededRandom(5);
  const latencies: number[] = [];
  let shown = 0;
  let steppedAt = 0;
  const close = await openLiveStream(dashboard.http, ({ rigs }) => {
    const live = rigs.find(({ rig }) => rig === 'rig-e')?.live;
    if (live?.values.program == null || live.values.program === shown) return;
    shown = live.values.program;
    if (steppedAt > 0 && shown === device.program) latencies.push(performance.now() - steppedAt);
  });
  try {
    await waitUntil(
      () => shown > 0,
      () => `the edge's first live picture; it says: ${edge.stderr()}`,
    );
    for (let step = 0; step < STEPS; step++) {
      await new Promise(resolve => setTimeout(resolve, 50 + random() * TICK_MS));
      steppedAt = device.step();
      await waitUntil(() => shown === device.program, 'the new program number at the browser');
    }
    return latencies.sort((a, b) => a - b);
  } finally {
    close();
    device.stop();
    await edge.stop();
  }
}

function figure(
  what: string,
  goal: string,
  sorted: readonly number[],
  rounds: number[],
  baselineMs: number,
): Figure {
  const ratio = spreadOf(rounds.map(value => value / baselineMs));
  return {
    id: 'G15',
    what,
    goal,
    ratio,
    subject: `${show(quantile(sorted, 0.5), 'ms')} median, ${show(quantile(sorted, 0.99), 'ms')} p99`,
    baseline: `${baselineMs} ms`,
    verdict: atMost(ratio, 1.05),
  };
}

export const liveLatency: Benchmark = {
  id: 'G15',
  title: 'live latency',
  how: `The built dashboard with its broker and one event-stream reader. First ${RIGS} rigs' live messages, each rig every ${LEAST_PAUSE_MS}–${LEAST_PAUSE_MS + TICK_MS} ms at random moments, from publish to the reader's socket, against the tick of ${TICK_MS} ms in which the dashboard gathers them; the 99th percentile of each of ${ROUNDS} rounds of ${ROUND_S} s. Then a device over TCP at ${RATE_HZ} Hz, the built edge, broker, dashboard and reader: from the byte that carries a new program number to the frame that shows it, ${STEPS} times at random moments, against the two ticks on that way (${2 * TICK_MS} ms); the 95th percentile.`,
  run: async context => {
    const dashboard = await startDashboard(context, join(context.scratch, 'live-dashboard'));
    try {
      const { rounds, overtaken } = await publishedLatencies(dashboard);
      const all = rounds.flat().sort((a, b) => a - b);
      const bytes = await endToEndLatencies(context, dashboard);
      const published = figure(
        'publish to browser, 99th percentile, against the tick',
        '≤ 1.05×',
        all,
        rounds.map(round => quantile(round, 0.99)),
        TICK_MS,
      );
      return [
        {
          ...published,
          note: `${all.length} messages arrived; ${overtaken} were overtaken by a newer one of their rig in the same tick.`,
        },
        figure(
          'serial byte to browser, 95th percentile, against two ticks',
          '≤ 1.05× (our own)',
          bytes,
          [quantile(bytes, 0.95)],
          2 * TICK_MS,
        ),
      ];
    } finally {
      await dashboard.stop();
    }
  },
};

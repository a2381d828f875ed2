/** Brokers, trucks and networks that die in the middle: everything stored arrives, once, in order. */
import { describe, expect, it } from 'vitest';
import type { DashboardProgram } from '../support/dashboard-program.ts';
import { mosquittoMissing } from '../support/mosquitto.ts';
import type { RunningProgram } from '../support/programs.ts';
import { waitUntil } from '../support/wait-until.ts';
import { brokerPidOf } from './harness/children.ts';
import { afterSamples } from './harness/moment.ts';
import { type FaultRandom, faultTest } from './harness/random-test.ts';
import { makeStation, type Station } from './harness/station.ts';
import { startTcpProxy, type TcpProxy } from './harness/tcp-proxy.ts';

/** The device falls silent, the edge delivers what it has, and the books have to balance. */
async function settle(station: Station, edge: RunningProgram, mostHoles: number): Promise<void> {
  await station.rig.stop();
  expect(await edge.stop()).toBe(0);
  const last = station.startEdge();
  await station.allTaken(() => last);
  const books = await station.account();
  expect(books.stored.length).toBeGreaterThan(100);
  expect(books.delivered).toEqual(books.stored);
  expect(books.holes.length).toBeLessThanOrEqual(mostHoles);
  expect(books.rejected).toBe(0);
}

async function progress(station: Station, because: () => string): Promise<void> {
  const before = station.taken();
  await waitUntil(
    () => station.taken() >= before + 3,
    () => `the truck to take over; ${because().slice(-2000)}`,
    30_000,
  );
}

describe('the embedded broker', () => {
  faultTest(
    'is killed five times in mid-stream: nothing is lost, nothing comes twice',
    { seeds: 10 },
    async random => {
      const station = await makeStation({ seed: random.seed, rateHz: 100 });
      const truck = await station.startTruck();
      const edge = station.startEdge();
      let pid = 0;
      for (let kill = 1; kill <= 5; kill++) {
        await progress(station, edge.stderr);
        await afterSamples(station.rig, random.whole(1, 100));
        pid = await brokerPidOf(truck.child.pid!, pid);
        process.kill(pid, 'SIGKILL');
      }
      await progress(station, edge.stderr);
      await settle(station, edge, 0);
    },
  );
});

describe.skipIf(mosquittoMissing)('a separate broker', () => {
  faultTest(
    'is killed five times in mid-stream: nothing is lost, nothing comes twice',
    { seeds: 10 },
    async random => {
      const station = await makeStation({ seed: random.seed, rateHz: 100, broker: 'mosquitto' });
      await station.startTruck();
      const edge = station.startEdge();
      for (let kill = 1; kill <= 5; kill++) {
        await progress(station, edge.stderr);
        await afterSamples(station.rig, random.whole(1, 100));
        await station.mosquitto!.kill();
        await afterSamples(station.rig, random.whole(1, 50));
        await station.mosquitto!.start();
      }
      await progress(station, edge.stderr);
      await settle(station, edge, 0);
    },
  );

  it('hangs and answers nobody: recording goes on, the edge notices and connects anew', async () => {
    const station = await makeStation({ seed: 1, broker: 'mosquitto' });
    await station.startTruck();
    const edge = station.startEdge();
    await progress(station, edge.stderr);
    station.mosquitto!.pause();
    const before = station.committed();
    await waitUntil(() => edge.stderr().includes('brokerLost'), 'the edge to give the broker up', 40_000);
    expect(station.committed()).toBeGreaterThan(before + 20);
    station.mosquitto!.resume();
    await progress(station, edge.stderr);
    await settle(station, edge, 0);
  });
});

describe('the truck', () => {
  faultTest(
    'is killed again and again, also between its commit and its acknowledgement: nothing is lost, nothing comes twice',
    { seeds: 20 },
    async random => {
      // Small batches, many of them: some kills fall into a commit, some between a commit and its word.
      const station = await makeStation({ seed: random.seed, rateHz: 100 });
      let truck = await station.startTruck();
      const edge = station.startEdge();
      for (let kill = 1; kill <= 5; kill++) {
        await progress(station, edge.stderr);
        await afterSamples(station.rig, random.whole(1, 60));
        await truck.kill();
        truck = await station.startTruck();
        expect(truck.mqtt, 'the address the edges know').toBe(station.brokerUrl);
      }
      await progress(station, edge.stderr);
      await settle(station, edge, 0);
    },
  );
});

describe('edge, broker and truck', () => {
  const cast = ['edge', 'broker', 'truck'] as const;

  async function chaos(random: FaultRandom, broker: 'embedded' | 'mosquitto'): Promise<void> {
    const station = await makeStation({ seed: random.seed, rateHz: 100, broker });
    let truck: DashboardProgram = await station.startTruck();
    let edge = station.startEdge();
    await progress(station, edge.stderr);
    let edgeKills = 0;
    let pid = 0;
    for (let kill = 1; kill <= 8; kill++) {
      await afterSamples(station.rig, random.whole(20, 150));
      const victim = random.one(cast);
      const downFor = random.whole(1, 80);
      if (victim === 'edge') {
        edgeKills += 1;
        await edge.kill();
        await afterSamples(station.rig, downFor);
        edge = station.startEdge();
      } else if (victim === 'truck') {
        await truck.kill();
        await afterSamples(station.rig, downFor);
        truck = await station.startTruck();
        pid = 0;
      } else if (station.mosquitto) {
        await station.mosquitto.kill();
        await afterSamples(station.rig, downFor);
        await station.mosquitto.start();
      } else {
        pid = await brokerPidOf(truck.child.pid!, pid);
        process.kill(pid, 'SIGKILL');
      }
    }
    await progress(station, edge.stderr);
    await settle(station, edge, edgeKills);
  }

  faultTest('die at random, the broker inside the truck: the books balance', { seeds: 25 }, random =>
    chaos(random, 'embedded'),
  );
  describe.skipIf(mosquittoMissing)('with a separate broker', () => {
    faultTest('die at random, the broker by itself: the books balance', { seeds: 25 }, random =>
      chaos(random, 'mosquitto'),
    );
  });
});

describe('the network between edge and truck', () => {
  faultTest(
    'is cut, frozen half open, slow and thin in turn: nothing is lost, nothing comes twice',
    { seeds: 10 },
    async random => {
      let proxy: TcpProxy | null = null;
      const station = await makeStation({
        seed: random.seed,
        rateHz: 100,
        edgeBroker: async port => {
          proxy = await startTcpProxy(port);
          return `mqtt://127.0.0.1:${proxy.port}`;
        },
      });
      const network = proxy! as TcpProxy;
      await station.startTruck();
      const edge = station.startEdge();
      await progress(station, edge.stderr);
      network.delay(random.whole(20, 200));
      await progress(station, edge.stderr);
      network.delay(0);
      network.limit(64 * 1024);
      await progress(station, edge.stderr);
      network.cut();
      await afterSamples(station.rig, random.whole(20, 200));
      network.mend();
      network.limit(null);
      await progress(station, edge.stderr);
      // The other side is gone and nobody says so: only the edge's own patience can tell.
      network.freeze();
      const lost = (): number => edge.stderr().split('"brokerLost"').length - 1;
      const before = lost();
      await waitUntil(() => lost() > before, 'the edge to give the dead connection up', 40_000);
      network.mend();
      await progress(station, edge.stderr);
      await settle(station, edge, 0);
    },
  );
});

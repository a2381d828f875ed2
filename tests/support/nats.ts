import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { freePort } from './free-port.ts';
import { isMissing } from './programs.ts';
import { tempDir } from './temp-dir.ts';
import { waitUntil } from './wait-until.ts';

/** For `describe.skipIf`: no broker that forms a cluster is installed. */
export const natsMissing = isMissing('nats-server', 'apt-get install nats-server');

export interface NatsNode {
  /** Its MQTT address. */
  readonly url: string;
  /** SIGKILL, as a power cut would. What it has on its disk stays. */
  kill(): Promise<void>;
  start(): void;
}

export interface NatsCluster {
  readonly nodes: readonly NatsNode[];
  /** Addresses of all nodes, commas between them. */
  readonly urls: string;
  /** Resolves when every node runs and has all that the others have. */
  readonly whole: () => Promise<void>;
}

/** A group of replicas as the monitor of one node describes it; only its leader knows how the others stand. */
interface Group {
  readonly leader?: string;
  readonly replicas?: readonly { readonly current: boolean }[];
}
interface Monitor {
  readonly meta_cluster?: Group;
  readonly account_details?: readonly {
    readonly stream_detail?: readonly { readonly name: string; readonly cluster?: Group }[];
  }[];
}

/** Brokers that speak MQTT 3.1.1 and keep each message on all their disks; end with the running test. */
export async function startNatsCluster(count = 3): Promise<NatsCluster> {
  const dir = tempDir();
  const ports = await Promise.all(
    Array.from({ length: count }, async () => ({
      client: await freePort(),
      route: await freePort(),
      mqtt: await freePort(),
      monitor: await freePort(),
    })),
  );
  const routes = ports.map(({ route }) => `nats://127.0.0.1:${route}`).join(', ');
  const nodes = ports.map((port, i): NatsNode => {
    const file = join(dir, `node-${i}.conf`);
    writeFileSync(
      file,
      `server_name: node-${i}
listen: 127.0.0.1:${port.client}
http: 127.0.0.1:${port.monitor}
jetstream { store_dir: "${join(dir, `node-${i}`)}" }
cluster { name: girthlog, listen: 127.0.0.1:${port.route}, routes: [ ${routes} ] }
mqtt { listen: 127.0.0.1:${port.mqtt}, stream_replicas: ${count} }
`,
    );
    let child: ChildProcess | null = null;
    const kill = async (): Promise<void> => {
      const dying = child;
      child = null;
      if (!dying || dying.exitCode !== null) return;
      const gone = new Promise(resolve => dying.once('exit', resolve));
      dying.kill('SIGKILL');
      await gone;
    };
    onTestFinished(kill);
    return {
      url: `mqtt://127.0.0.1:${port.mqtt}`,
      kill,
      start: () => {
        const program = existsSync('/usr/sbin/nats-server') ? '/usr/sbin/nats-server' : 'nats-server';
        child = spawn(program, ['-c', file], { stdio: 'ignore' });
      },
    };
  });
  const isWhole = async (): Promise<boolean> => {
    const led = new Set<string>();
    const seen = new Set(['meta']);
    for (const [i, { monitor }] of ports.entries()) {
      const told = await fetch(`http://127.0.0.1:${monitor}/jsz?streams=1`)
        .then(response => response.json() as Promise<Monitor>)
        .catch(() => null);
      if (!told) return false;
      const streams = (told.account_details ?? []).flatMap(({ stream_detail: of }) => of ?? []);
      const groups = streams.map(({ name, cluster }) => [name, cluster] as const);
      for (const [name, group] of [['meta', told.meta_cluster] as const, ...groups]) {
        seen.add(name);
        const { leader, replicas = [] } = group ?? {};
        const isLed = leader === `node-${i}` && replicas.length === count - 1;
        if (isLed && replicas.every(({ current }) => current)) led.add(name);
      }
    }
    return seen.size === led.size;
  };
  const whole = async (): Promise<void> => {
    await waitUntil(isWhole, 'the broker nodes to be one cluster', 30_000);
  };
  for (const node of nodes) node.start();
  await whole();
  return { nodes, urls: nodes.map(({ url }) => url).join(','), whole };
}

/** One rig at work: simulated device, edge, broker and truck as processes, each of which a test may hurt. */
import { join } from 'node:path';
import type { Alarms } from '#core/messages/alarms';
import type { Health } from '#core/messages/health';
import type { Live } from '#core/messages/live';
import { topicOf } from '#core/topics/topics';
import { type DashboardProgram, startDashboard } from '../../support/dashboard-program.ts';
import { ADDRESS, writeConfig } from '../../support/edge-bench.ts';
import { freePort, type Mosquitto, startMosquitto } from '../../support/mosquitto.ts';
import { mqttClient, type TestClient } from '../../support/mqtt-client.ts';
import { type RunningProgram, startProgram } from '../../support/programs.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { waitUntil } from '../../support/wait-until.ts';
import { type Account, account } from './account.ts';
import { type NumberedRig, type NumberedRigOptions, startNumberedRig } from './numbered-rig.ts';
import { newestCommitted, newestTaken, readTruckStore } from './stores.ts';

export interface StationOptions extends NumberedRigOptions {
  readonly broker?: 'embedded' | 'mosquitto';
  /** Lines for a separate broker's own file; there is one then. */
  readonly mosquittoSettings?: readonly string[];
  /** Directory of the edge's store; a temporary one by default. */
  readonly edgeDir?: string;
  /** TOML after the edge's usual settings. */
  readonly edgeMore?: string;
  /** Settings such as `store.batch_s=1`. */
  readonly edgeSettings?: readonly string[];
  readonly edgeEnv?: Readonly<Record<string, string>>;
  /** What the edge reads instead of the device's own port, such as the far end of a cable. */
  readonly sourceUrl?: (rigUrl: string) => Promise<string>;
  /** What the edge connects to instead of the broker, such as a proxy in front of the given port. */
  readonly edgeBroker?: (brokerPort: number) => Promise<string>;
}

export interface Station {
  readonly rig: NumberedRig;
  readonly edgeFile: string;
  readonly truckData: string;
  readonly mosquitto: Mosquitto | null;
  readonly brokerUrl: string;
  readonly startEdge: (env?: Readonly<Record<string, string>>) => RunningProgram;
  /** Arguments are for `girthlog-dashboard run`. */
  readonly startTruck: (args?: readonly string[]) => Promise<DashboardProgram>;
  /** Batches committed at the edge, and taken over by the truck, read from the files. */
  readonly committed: () => number;
  readonly taken: () => number;
  /** What the edge tells people, heard by a client of its own. */
  readonly listen: () => Promise<Heard>;
  /** The rig has fallen silent: everything at the edge is at the truck. */
  readonly allTaken: (edge: () => RunningProgram) => Promise<void>;
  readonly account: () => Promise<Account>;
}

export interface Heard {
  readonly client: TestClient;
  readonly live: () => Live | null;
  readonly health: () => Health | null;
  readonly alarms: () => Alarms['conditions'];
}

export async function makeStation(options: StationOptions): Promise<Station> {
  const separate = options.broker === 'mosquitto' || options.mosquittoSettings !== undefined;
  const mosquitto = separate ? await startMosquitto(options.mosquittoSettings) : null;
  const mqttPort = mosquitto?.port ?? (await freePort());
  const brokerUrl = `mqtt://127.0.0.1:${mqttPort}`;
  const rig = await startNumberedRig(options);
  // The configuration stays outside: a disk that loses power may lose it too.
  const edgeFile = join(options.edgeDir ?? tempDir(), 'edge.db');
  const truckData = join(tempDir(), 'data');
  const edgeBroker = (await options.edgeBroker?.(mqttPort)) ?? brokerUrl;
  const config = writeConfig(
    tempDir(),
    (await options.sourceUrl?.(rig.url)) ?? rig.url,
    edgeBroker,
    options.edgeMore,
  );
  const settings = [`store.path=${edgeFile}`, ...(options.edgeSettings ?? [])].flatMap(one => ['--set', one]);
  const committed = (): number => newestCommitted(edgeFile);
  const taken = (): number => newestTaken(truckData);
  return {
    rig,
    edgeFile,
    truckData,
    mosquitto,
    brokerUrl,
    startEdge: (env = {}) =>
      startProgram('girthlog-edge', ['run', '--config', config, ...settings], {
        ...options.edgeEnv,
        ...env,
      }),
    startTruck: (args = []) =>
      startDashboard({
        data: truckData,
        mqtt: `127.0.0.1:${mqttPort}`,
        args: [...(mosquitto ? ['--broker', brokerUrl] : []), ...args],
      }),
    committed,
    taken,
    listen: () => listen(brokerUrl),
    allTaken: async edge => {
      await waitUntil(
        () => committed() > 0 && taken() === committed(),
        () =>
          `the truck (${taken()}) to have what the edge has (${committed()}); ${edge().stderr().slice(-2000)}`,
        60_000,
      );
    },
    account: () => account(rig, edgeFile, () => readTruckStore(truckData)),
  };
}

export async function listen(brokerUrl: string): Promise<Heard> {
  const client = await mqttClient(brokerUrl, [`girthlog/1/${ADDRESS.site}/${ADDRESS.rig}/#`], {
    resubscribe: true,
  });
  const newest = <T>(kind: 'live' | 'health' | 'alarms'): T | null => {
    const message = client.received.findLast(({ topic }) => topic === topicOf(ADDRESS, kind));
    return message ? (JSON.parse(message.text) as T) : null;
  };
  return {
    client,
    live: () => newest<Live>('live'),
    health: () => newest<Health>('health'),
    alarms: () => newest<Alarms>('alarms')?.conditions ?? [],
  };
}

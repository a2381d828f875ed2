/** An edge that comes back after hours without a network: its store filled beforehand, then drained. */
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import type { Ack } from '#core/messages/ack';
import type { Status } from '#core/messages/status';
import { topicOf } from '#core/topics/topics';
import { batchBodies } from '../../../edge/capture/batch-bodies.ts';
import { OutboxStore } from '../../../edge/outbox/outbox-store.ts';
import type { PendingBatch } from '../../../edge/outbox/outbox-types.ts';
import { freePort } from '../../support/free-port.ts';
import { waitUntil } from '../../support/wait-until.ts';
import { startEdge } from './edge.ts';
import type { BenchContext } from './figure.ts';
import { connectMqtt } from './mqtt-client.ts';
import { RECORD_HEADER } from './record-header.ts';
import { PERIOD_S, weldSecond, weldSignal } from './weld-signal.ts';

export const BACKLOG_RATE_HZ = 100;
const SITE = RECORD_HEADER.site;
const PER_COMMIT = 500;

export interface Backlog {
  readonly rig: string;
  readonly folder: string;
  readonly seconds: number;
  readonly startUs: number;
}

function openOutbox(folder: string): { store: OutboxStore; opened: ReturnType<OutboxStore['open']> } {
  const store = new OutboxStore({
    path: join(folder, 'edge.db'),
    requiredStores: ['truck'],
    monotonicMs: () => performance.now(),
    wallMs: () => Date.now(),
  });
  return { store, opened: store.open() };
}

/** An edge's store with a batch for each of `seconds` seconds that end now, none of them acknowledged. */
export function fillBacklog(folder: string, rig: string, seconds: number): Backlog {
  mkdirSync(folder, { recursive: true });
  const period = weldSignal(PERIOD_S * BACKLOG_RATE_HZ, BACKLOG_RATE_HZ);
  const startUs = Math.round(Date.now() - seconds * 1000) * 1000;
  const { store } = openOutbox(folder);
  let batches: PendingBatch[] = [];
  for (let second = 0; second < seconds; second++) {
    const samples = weldSecond(period, BACKLOG_RATE_HZ, second, startUs);
    const [body] = batchBodies({ ...RECORD_HEADER, rig }, { samples, events: [], passes: [] });
    const closedUs = startUs + (second + 1) * 1e6;
    batches.push({ body: body!.text, closedUs, closedUtcMs: closedUs / 1000, state: {} });
    if (batches.length < PER_COMMIT && second + 1 < seconds) continue;
    store.append(batches);
    batches = [];
  }
  store.close();
  return { rig, folder, seconds, startUs };
}

/**
 * Seconds from the edge's connection to the store's word that all of the backlog is committed. Rejects when the
 * edge itself does not hold it acknowledged afterwards: it takes no word whose hash is not its own.
 */
export async function drain(context: BenchContext, mqtt: string, backlog: Backlog): Promise<number> {
  const address = { site: SITE, rig: backlog.rig };
  const watcher = await connectMqtt(mqtt);
  let connectedMs = 0;
  let doneMs = 0;
  let upto = 0;
  watcher.on('message', (topic, payload) => {
    const message = JSON.parse(payload.toString()) as Status | Ack;
    if (topic === topicOf(address, 'status')) {
      if ((message as Status).state === 'ready') connectedMs ||= performance.now();
      return;
    }
    upto = Math.max(upto, (message as Ack).upto);
    if (upto >= backlog.seconds) doneMs ||= performance.now();
  });
  await watcher.subscribeAsync([topicOf(address, 'status'), topicOf(address, 'ack', 'truck')], { qos: 1 });
  const nobody = `tcp://127.0.0.1:${await freePort()}`;
  const edge = startEdge(context, backlog.folder, { rig: backlog.rig, source: nobody, broker: mqtt });
  try {
    await waitUntil(
      () => doneMs > 0,
      () => `the end of the backlog: ${upto} of ${backlog.seconds} acknowledged; ${edge.stderr()}`,
      180_000,
    );
    if (connectedMs === 0) throw new Error('the edge has not said that it is connected');
  } finally {
    await watcher.endAsync(true);
    await edge.stop();
  }
  const { store, opened } = openOutbox(backlog.folder);
  store.close();
  const kept = opened.cursors['truck']?.upto ?? 0;
  if (kept < backlog.seconds) throw new Error(`the edge holds ${kept} of ${backlog.seconds} acknowledged`);
  return (doneMs - connectedMs) / 1000;
}

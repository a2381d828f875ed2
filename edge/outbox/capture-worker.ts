/** The worker thread that alone writes the outbox: a stalled sync stalls this thread and no serial frame. */
import { performance } from 'node:perf_hooks';
import { parentPort, workerData } from 'node:worker_threads';
import { asStoreError } from './outbox-database.ts';
import { OutboxStore } from './outbox-store.ts';
import type { WorkerData, WorkerReply, WorkerRequest } from './worker-protocol.ts';

const port = parentPort;
if (!port) throw new Error('capture-worker is started by girthlog-edge, not by hand');

const { path, requiredStores, budget } = workerData as WorkerData;
const store = new OutboxStore({
  path,
  requiredStores,
  budget,
  monotonicMs: () => performance.now(),
  wallMs: () => Date.now(),
});

port.on('message', (request: WorkerRequest) => {
  const call = store[request.call] as (...args: readonly unknown[]) => unknown;
  let reply: WorkerReply;
  try {
    reply = { id: request.id, ok: true, value: call.apply(store, [...request.args]) };
  } catch (error) {
    const { kind, message } = asStoreError(error);
    reply = { id: request.id, ok: false, kind, message };
  }
  port.postMessage(reply);
  if (request.call === 'close') port.close();
});

/**
 * A sink that acknowledges what it has not stored yet: the same checks and the same store as the dashboard's, in the
 * other order. Only a baseline: a power cut between the two loses records for good.
 */
import Sqlite from 'better-sqlite3';
import type { Ack } from '#core/messages/ack';
import { topicOf } from '#core/topics/topics';
import { decodeMessage } from '../../../dashboard/server/ingest/decode.ts';
import { verifyRecord } from '../../../dashboard/server/ingest/verify-record.ts';
import { SqliteStore } from '../../../dashboard/server/store/sqlite-store.ts';
import type { VerifiedRecord } from '../../../dashboard/server/store/store.ts';
import { connectMqtt } from '../harness/mqtt-client.ts';

/** As many as the dashboard commits at once. */
const BATCH = 100;

export function runAckFirst(): void {
  const [, , , url = '', directory = ''] = process.argv;
  const store = new SqliteStore({ directory, sqlite: Sqlite, report: () => {}, now: () => new Date() });
  store.open();
  void serve(store, url).then(() => process.send?.({ ready: true }));
}

async function serve(store: SqliteStore, url: string): Promise<void> {
  const client = await connectMqtt(url);
  let waiting: VerifiedRecord[] = [];
  let isScheduled = false;
  const commit = (): void => {
    isScheduled = false;
    const batch = waiting.slice(0, BATCH);
    waiting = waiting.slice(BATCH);
    const newest = batch.at(-1)!;
    const { origin, stream, seq, hash } = newest.message;
    const ack: Ack = { origin, store: 'truck', stream, upto: seq, head: hash };
    client.publish(topicOf(newest, 'ack', 'truck'), JSON.stringify(ack), { qos: 1, retain: true });
    store.commitRecords(batch, new Date().toISOString());
    if (waiting.length > 0) schedule();
  };
  const schedule = (): void => {
    if (isScheduled) return;
    isScheduled = true;
    setImmediate(commit);
  };
  const upto = new Map<string, number>();
  client.on('message', (topic, payload) => {
    const decoded = decodeMessage(topic, payload);
    if (!decoded.ok || decoded.edge?.kind !== 'record') return;
    const verified = verifyRecord(decoded.address, decoded.edge.message);
    if (!verified.ok) return;
    // Each in its turn: what came twice or ahead of its turn is sent again.
    const { stream, seq } = verified.record.message;
    if (seq !== (upto.get(stream) ?? 0) + 1) return;
    upto.set(stream, seq);
    waiting.push(verified.record);
    schedule();
  });
  await client.subscribeAsync('girthlog/1/+/+/record', { qos: 1 });
}

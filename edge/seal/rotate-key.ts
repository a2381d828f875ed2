/**
 * A new key, announced by a seal that the old one signs. In this order, so that a kill at any point leaves one key in
 * force: the new key to a file of its own, the announcement committed to the store, the file moved into place.
 */
import { EXIT, ProgramError } from '#core/program/program-error';
import type { SignedSeal } from '#core/record/seal';
import { batchBodies } from '../capture/batch-bodies.ts';
import { createRecordClock } from '../clock/record-clock.ts';
import { SyncWatch, systemSyncProbe } from '../clock/sync-watch.ts';
import type { EdgeConfig } from '../config/edge-config.ts';
import { OutboxStore } from '../outbox/outbox-store.ts';
import { type OpenedStore, StoreError } from '../outbox/outbox-types.ts';
import { SOFTWARE } from '../software.ts';
import { keyInForce } from './create-sealer.ts';
import { keyPathOf, makeKeyFile, moveKeyFile, nextKeyPathOf, readSealKey, type SealKey } from './seal-key.ts';
import { SealMaker } from './seal-maker.ts';

export interface RotationTimes {
  readonly monotonicMs: () => number;
  readonly monotonicNs: () => bigint;
  readonly wallMs: () => number;
}

/** Fingerprints before and now. Throws ProgramError, also when an edge is running on this store. */
export async function rotateKey(
  config: EdgeConfig,
  times: RotationTimes,
): Promise<{ from: string; to: string }> {
  const { storePath: path, requiredStores } = config;
  const store = new OutboxStore({ path, requiredStores, budget: config.storeBudget, ...times });
  const sync = new SyncWatch(systemSyncProbe);
  try {
    const opened = store.open();
    await sync.start();
    const { key: old } = keyInForce(path, opened.state);
    const next = nextKeyPathOf(path);
    makeKeyFile(next);
    const { key } = readSealKey(next);
    await announce({ config, store, opened, old, key, times, syncState: () => sync.state() });
    moveKeyFile(next, keyPathOf(path));
    return { from: old.keyId, to: key.keyId };
  } catch (error) {
    if (error instanceof StoreError) throw new ProgramError(error.message, EXIT.network);
    throw error;
  } finally {
    sync.stop();
    store.close();
  }
}

async function announce(parts: {
  config: EdgeConfig;
  store: OutboxStore;
  opened: OpenedStore;
  old: SealKey;
  key: SealKey;
  times: RotationTimes;
  syncState: () => ReturnType<SyncWatch['state']>;
}): Promise<void> {
  const { config, store, opened, old, key, times, syncState } = parts;
  const { address, origin } = config;
  const clock = createRecordClock({ ...times, syncState }, opened);
  const maker = new SealMaker({
    batches: {
      hashes: async (from, to, limit) => store.hashes(from, to, limit),
      firstSeqSince: async us => store.firstSeqSince(us),
    },
    key: old,
    address,
    origin,
    stream: opened.stream,
    software: SOFTWARE,
    clock,
    state: opened.state,
  });
  const cover = await maker.coverStream(opened.committedSeq);
  const seals: SignedSeal[] = [];
  // A stream that never knew the old key is told of it first.
  if (maker.announcedKey !== old.publicKey) {
    seals.push(maker.sign(cover, { kind: 'key', publicKey: old.publicKey }));
  }
  seals.push(maker.sign(cover, { kind: 'key', publicKey: key.publicKey }));
  const closedUs = clock.nowUs();
  const [body] = batchBodies(
    {
      origin,
      ...address,
      at: clock.utcOf(closedUs),
      clock: { state: clock.state(), offsetMs: null },
      utcMinusRecordMs: clock.utcMinusRecordMs(),
    },
    { samples: null, events: [], passes: [], seals },
  );
  store.append([
    {
      body: body!.text,
      closedUs,
      closedUtcMs: closedUs / 1000 + clock.utcMinusRecordMs(),
      state: maker.statePatch(),
    },
  ]);
}

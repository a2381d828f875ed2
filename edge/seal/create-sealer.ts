/** The sealer of one edge: its key opened (or made), what is odd about it said, everything wired. */
import { existsSync, rmSync } from 'node:fs';
import { keyIdOf, shortKey } from '#core/record/seal-verify';
import type { Capture } from '../capture/capture.ts';
import type { Recorder } from '../capture/recorder.ts';
import type { RecordClock } from '../clock/record-clock.ts';
import type { EdgeConfig } from '../config/edge-config.ts';
import type { InternalEvents } from '../internal-events.ts';
import type { OpenedStore } from '../outbox/outbox-types.ts';
import { SOFTWARE } from '../software.ts';
import { nodeSealCrypto } from './node-seal-crypto.ts';
import {
  keyPathOf,
  moveKeyFile,
  nextKeyPathOf,
  type OpenedKey,
  openSealKey,
  readSealKey,
  type SealKey,
} from './seal-key.ts';
import { announcedKeyOf, type BatchHashes } from './seal-maker.ts';
import { Sealer } from './sealer.ts';

export interface CreateSealerOptions {
  readonly config: EdgeConfig;
  readonly store: OpenedStore;
  readonly key: SealKey;
  readonly batches: BatchHashes;
  readonly clock: RecordClock;
  readonly events: InternalEvents;
  readonly monotonicMs: () => number;
  readonly recorder: () => Pick<Recorder, 'addSeal'>;
  readonly capture: () => Pick<Capture, 'tell'>;
  readonly onFailed: (error: unknown) => void;
}

export function createSealer(options: CreateSealerOptions): Sealer {
  const { config, store, key, events, recorder, capture } = options;
  return new Sealer({
    ...options,
    key,
    address: config.address,
    origin: config.origin,
    stream: store.stream,
    software: SOFTWARE,
    state: store.state,
    committedSeq: store.committedSeq,
    add: seal => recorder().addSeal(seal),
    onKeyReplaced: (from, to) => {
      const [was, is] = [from, to].map(one => keyIdOf(one, nodeSealCrypto)) as [string, string];
      events.emit('sealKeyReplaced', { from: was, to: is });
      const text = `seals are signed by another key from here on (${shortKey(is)}, before ${shortKey(was)}): nothing announced it`;
      capture().tell({ type: 'storage', text, data: { from: was, to: is } });
    },
  });
}

/**
 * The key that signs now. A rotation that a kill cut short is finished where the store has the announcement, and
 * dropped where it has not. Throws ProgramError.
 */
export function keyInForce(storePath: string, state: OpenedStore['state']): OpenedKey {
  const [path, next] = [keyPathOf(storePath), nextKeyPathOf(storePath)];
  if (existsSync(next)) {
    if (publicKeyIn(next) === announcedKeyOf(state)) moveKeyFile(next, path);
    else rmSync(next);
  }
  return openSealKey(path);
}

function publicKeyIn(path: string): string | undefined {
  try {
    return readSealKey(path).key.publicKey;
  } catch {
    return undefined;
  }
}

/** As keyInForce, and says what there is to say of it. */
export function openKeyOf(storePath: string, state: OpenedStore['state'], events: InternalEvents): SealKey {
  const { key, made, modeFixed, damaged } = keyInForce(storePath, state);
  const path = keyPathOf(storePath);
  if (damaged) events.emit('sealKeyUnreadable', { ...damaged });
  if (made) events.emit('sealKeyMade', { path, keyId: key.keyId });
  if (modeFixed) events.emit('sealKeyModeFixed', { path });
  return key;
}

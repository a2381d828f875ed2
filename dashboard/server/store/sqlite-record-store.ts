/** A truck's own store as a RecordStore: what it holds can be taken over into another. */
import type { RigAddress } from '#core/topics/topics';
import type { RecordStore, StreamMark } from './record-store.ts';
import type { SqliteStore } from './sqlite-store.ts';
import type { StreamState, VerifiedRecord } from './store.ts';

export class SqliteRecordStore implements RecordStore {
  private readonly store: SqliteStore;

  constructor(store: SqliteStore) {
    this.store = store;
  }

  commitRecords = async (batch: readonly VerifiedRecord[], receivedAt: string) =>
    this.store.commitRecords(batch, receivedAt);
  startStreamAt = async (address: RigAddress, stream: string, first: number) =>
    this.store.startStreamAt(address, stream, first);
  streamState = async (address: RigAddress, stream: string) => this.store.streamState(address, stream);
  recordsBehind = async (address: RigAddress, stream: string, seq: number, limit: number) =>
    this.store.recordsBehind(address, stream, seq, limit);
  watermarks = async (): Promise<StreamMark[]> =>
    this.store
      .streamStates()
      .map(({ site, rig, stream, first, upto }) => ({ site, rig, stream, first, upto }));

  newestStreams = async (): Promise<StreamState[]> => {
    // In the order in which they were last heard: the last of a rig is its newest.
    const newest = new Map(this.store.streamStates().map(state => [`${state.site}/${state.rig}`, state]));
    return [...newest.values()].sort((a, b) => (rigOf(a) < rigOf(b) ? -1 : 1));
  };
}

function rigOf({ site, rig }: RigAddress): string {
  return `${site}/${rig}`;
}

/** Does an edge think that this store holds more than it does? Then the store was lost, or restored from a backup. */
import type { Origin } from '#core/messages/common';
import { CHAIN_START } from '#core/record/chain';
import type { RigAddress } from '#core/topics/topics';
import type { StreamState } from '../store/store.ts';

/**
 * Where the stream really stands here, to be told to the edge; null when nothing is missing.
 * `known`: the state of that stream in this store, null where it has none.
 */
export function whatIsLost(
  known: StreamState | null,
  { site, rig }: RigAddress,
  { stream, origin }: { readonly stream: string; readonly origin: Origin },
  acknowledged: number,
): StreamState | null {
  if (acknowledged === 0) return null;
  if (!known) return nothingOf({ site, rig }, stream, origin);
  return known.upto < acknowledged ? known : null;
}

function nothingOf(address: RigAddress, stream: string, origin: Origin): StreamState {
  return {
    ...address,
    stream,
    origin,
    first: null,
    upto: 0,
    head: CHAIN_START,
    lowest: null,
    highest: null,
    waiting: 0,
    conflicts: 0,
    chainBroken: false,
  };
}

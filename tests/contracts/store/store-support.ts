import { CHAIN_START } from '#core/record/chain';
import { verifyRecord } from '../../../dashboard/server/ingest/verify-record.ts';
import type { DashboardStore, VerifiedRecord } from '../../../dashboard/server/store/store.ts';
import { START_MS, STREAM, seal, testBody, testChain } from '../../support/test-records.ts';

export interface OpenedStore {
  readonly store: DashboardStore;
  /** Closes it and opens what it kept. */
  readonly reopen: () => DashboardStore;
}

export const RIG = { site: 'spread-1', rig: 'rig-a' };
export const AT = new Date(START_MS).toISOString();

export function verified(message: ReturnType<typeof seal>, address = RIG): VerifiedRecord {
  const result = verifyRecord(address, message);
  if (!result.ok) throw new Error(result.event);
  return result.record;
}
export const chain = (count: number, parts = {}, stream = STREAM) =>
  testChain(count, parts, stream).map(one => verified(one));
/** One record with these contents, as number `seq` of a stream of its own chain. */
export const one = (seq: number, parts: Parameters<typeof testBody>[0], prev = CHAIN_START) =>
  verified(seal(JSON.stringify(testBody(parts)), seq, prev, STREAM, parts?.origin ?? 'simulated'));

/** Records with seals delivered to a truck in this process, and what it says of them. */
import { expect } from 'vitest';
import type { SealList } from '#core/messages/api-seal';
import type { RecordMessage } from '#core/messages/record';
import { topicOf } from '#core/topics/topics';
import type { TestDashboard } from './test-dashboard.ts';

export const RIG = { site: 'spread-1', rig: 'rig-a' };

export async function deliver(truck: TestDashboard, records: readonly RecordMessage[]): Promise<void> {
  for (const record of records) truck.receive(topicOf(RIG, 'record'), record);
  await truck.settle();
}

export async function told<T>(truck: TestDashboard, path: string): Promise<T> {
  const response = await truck.get(path);
  expect(response.status).toBe(200);
  return (await response.json()) as T;
}

export const listOf = (truck: TestDashboard): Promise<SealList> => told(truck, '/api/v1/seals?limit=200');
export const statesOf = async (truck: TestDashboard): Promise<string[]> =>
  (await listOf(truck)).seals.map(({ state }) => state).reverse();

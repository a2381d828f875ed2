import { expect, test } from 'vitest';
import { CHAIN_START } from '#core/record/chain';
import { whatIsLost } from '../../../dashboard/server/ingest/what-is-lost.ts';
import type { StreamState } from '../../../dashboard/server/store/store.ts';
import { STREAM } from '../../support/test-records.ts';

const RIG = { site: 'spread-1', rig: 'rig-a' };
const EDGE = { stream: STREAM, origin: 'simulated' as const };
const HEAD = 'a'.repeat(64);

const state = (upto: number): StreamState => ({
  ...RIG,
  stream: STREAM,
  origin: 'simulated',
  first: 1,
  upto,
  head: HEAD,
  lowest: 1,
  highest: upto,
  waiting: 0,
  conflicts: 0,
  chainBroken: false,
});

test('nothing, where the store holds what the edge thinks, or more', () => {
  expect(whatIsLost(state(40), RIG, EDGE, 40)).toBeNull();
  expect(whatIsLost(state(45), RIG, EDGE, 40)).toBeNull();
  expect(whatIsLost(null, RIG, EDGE, 0)).toBeNull();
});

test('where a restored store stands', () => {
  expect(whatIsLost(state(12), RIG, EDGE, 40)).toMatchObject({ upto: 12, head: HEAD });
});

test('the beginning, where the stream is not known here at all', () => {
  const nothing = { ...RIG, ...EDGE, upto: 0, head: CHAIN_START };
  expect(whatIsLost(null, RIG, EDGE, 40)).toMatchObject(nothing);
});

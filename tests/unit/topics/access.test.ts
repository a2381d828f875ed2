import { describe, expect, it } from 'vitest';
import {
  ANYONE,
  identityOf,
  mayBeCalled,
  mayPublish,
  mayReceive,
  maySubscribe,
  principalOf,
} from '#core/topics/access';
import { inboxSubscriptions } from '../../../edge/publisher/inbox.ts';
import { ACCESS_MATRIX, WHO } from '../../support/access-matrix.ts';

const rigA = principalOf('spread-1/rig-a')!;
const truck = principalOf('store.truck')!;

describe('who may say and hear what', () => {
  it.each(ACCESS_MATRIX)('$who may $does on $topic: $allowed', ({ who, does, topic, allowed }) => {
    const principal = principalOf(who)!;
    expect(does === 'publish' ? mayPublish(principal, topic) : mayReceive(principal, topic)).toBe(allowed);
  });

  it('knows a machine by its name, and nothing else as one', () => {
    for (const who of WHO) expect(identityOf(principalOf(who)!)).toBe(who);
    for (const name of [
      '',
      'rig-a',
      'a/b/c',
      'store.',
      'store.A',
      'spread-1/',
      '+/rig-a',
      'spread-1/#',
      'a/..',
    ]) {
      expect(principalOf(name), name).toBeNull();
    }
  });

  it('lets an edge ask for what is its own, as the edge asks for it', () => {
    const own = inboxSubscriptions({ site: 'spread-1', rig: 'rig-a' });
    for (const filter of own) expect(maySubscribe(rigA, filter), filter).toBe(true);
    for (const filter of [
      '#',
      '+/#',
      '$SYS/#',
      'girthlog/1/#',
      'girthlog/1/+/+/ack/+',
      'girthlog/1/spread-1/rig-a/#',
      'girthlog/1/spread-1/rig-b/ack/+',
      'girthlog/1/spread-1/rig-a/status',
      'girthlog/1/spread-1/rig-a/acknowledged',
      'girthlog/1/spread-1/rig-a/assignment/x',
    ]) {
      expect(maySubscribe(rigA, filter), filter).toBe(false);
    }
  });

  it('lets a store ask for everything of ours and nothing of the broker’s own', () => {
    expect(maySubscribe(truck, 'girthlog/1/+/+/#')).toBe(true);
    for (const filter of ['#', '$SYS/#', 'other/#']) expect(maySubscribe(truck, filter), filter).toBe(false);
    expect(maySubscribe(ANYONE, '$SYS/#')).toBe(false);
  });

  it('gives no two rigs one client id, though hyphens stand in names', () => {
    const one = principalOf('a-b/c')!;
    const other = principalOf('a/b-c')!;
    expect(mayBeCalled(one, 'girthlog/a-b/c')).toBe(true);
    expect(mayBeCalled(other, 'girthlog/a-b/c')).toBe(false);
    expect(mayBeCalled(rigA, 'girthlog/spread-1/rig-b')).toBe(false);
    expect(mayBeCalled(rigA, 'girthlog-truck-1')).toBe(false);
    expect(mayBeCalled(truck, 'girthlog-truck-1')).toBe(true);
    expect(mayBeCalled(truck, 'girthlog/spread-1/rig-a')).toBe(false);
  });
});

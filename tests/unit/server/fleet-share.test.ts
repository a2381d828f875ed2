import { describe, expect, it } from 'vitest';
import { ingestSettings } from '../../../dashboard/server/fleet/ingest-settings.ts';
import { isInShare, subscriptionsOf } from '../../../dashboard/server/fleet/share.ts';

const all = { sites: [], rigs: [] };
const rig = (site: string, name: string) => ({ site, rig: name });

describe('the share of an ingest worker', () => {
  it('is every rig, where nothing is said', () => {
    expect(subscriptionsOf(all)).toEqual(['record', 'health', 'clock'].map(kind => `girthlog/1/+/+/${kind}`));
    expect(isInShare(all, rig('a', 'b'))).toBe(true);
  });

  it('is a list of filters whose wildcards stand for whole levels, as MQTT 3.1.1 section 4.7 wants them', () => {
    const share = { sites: ['truck-1', 'truck-2'], rigs: [rig('truck-3', 'rig-a')] };
    const filters = subscriptionsOf(share);
    expect(filters.filter(filter => filter.endsWith('/record'))).toEqual([
      'girthlog/1/truck-1/+/record',
      'girthlog/1/truck-2/+/record',
      'girthlog/1/truck-3/rig-a/record',
    ]);
    for (const level of filters.flatMap(filter => filter.split('/')))
      expect(level).toMatch(/^(\+|[a-z0-9-]+)$/);
    const taken = [
      rig('truck-1', 'x'),
      rig('truck-3', 'rig-a'),
      rig('truck-3', 'rig-b'),
      rig('truck-4', 'rig-a'),
    ];
    expect(taken.map(one => isInShare(share, one))).toEqual([true, true, false, false]);
  });

  it('never hears one message twice', () => {
    const share = { sites: ['truck-1'], rigs: [rig('truck-1', 'rig-a'), rig('b', 'c'), rig('b', 'c')] };
    expect(subscriptionsOf(share).filter(filter => filter.endsWith('/record'))).toEqual([
      'girthlog/1/truck-1/+/record',
      'girthlog/1/b/c/record',
    ]);
  });
});

describe('settings of an ingest worker', () => {
  const least = { broker: 'mqtt://a:1883,mqtts://b', records: 'postgres://u@h/d' };

  it('need a broker and a database, nothing else', () => {
    expect(ingestSettings(least)).toMatchObject({ store: 'fleet', samples: null, sites: [], rigs: [] });
    expect(ingestSettings({ ...least, rigs: ['t/r'] }).rigs).toEqual([rig('t', 'r')]);
  });

  it.each([
    [{ records: 'postgres://u@h/d' }, /^--broker: is needed/],
    [{ ...least, broker: 'mqtt://a, mqtt://b' }, /^--broker: use mqtt:/],
    [{ ...least, records: 'mysql://h/d' }, /^--records: use postgres:/],
    [{ ...least, samples: 'h:8086' }, /^--samples: use http:/],
    [{ ...least, rigs: ['t'] }, /^--rigs: "t" is not SITE\/RIG/],
    [{ ...least, sites: ['Truck 1'] }, /^--sites: /],
  ])('say which of them is wrong: %j', (flags, sentence) => {
    expect(() => ingestSettings(flags)).toThrow(sentence);
  });
});

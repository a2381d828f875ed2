import { describe, expect, it } from 'vitest';
import type { RigReadiness } from '#core/messages/api-journal';
import { rigReadinessSchema } from '#core/messages/api-journal';
import { ReadinessStore, readinessAt } from '../../../dashboard/web/data/readiness-store.ts';
import { parseRoute, routeUrl } from '../../../dashboard/web/routes.ts';
import { en } from '../../../dashboard/web/text/en.ts';
import {
  findingsNow,
  firstThing,
  pageLink,
  readyRigs,
} from '../../../dashboard/web/views/ready/ready-rigs.ts';
import { readinessOf } from '../../support/fake-journal.ts';

const ALL = [
  'travel',
  'wireFeed',
  'arcVoltage',
  'weldingCurrent',
  'gasFlow',
  'temperature',
  'clock',
] as const;
const ready: RigReadiness = readinessOf('rig-1', ALL);

describe('readiness', () => {
  it('runs out by this page’s clock too: valid is never shown past its time', () => {
    expect(rigReadinessSchema.parse(ready)).toEqual(ready);
    const due = Date.parse(ready.checks[0]!.dueAt!);
    expect(readinessAt(ready, due - 1)).toBe(ready);
    const later = readinessAt(ready, due);
    expect(later.ready).toBe(false);
    expect(later.checks[0]!.state).toBe('expired');
    expect(firstThing(en, later)).toBe('travel check expired');
    expect(findingsNow(en, ready, later)[0]).toMatchObject({
      code: 'checkExpired',
      link: '/rigs/spread-1/rig-1/verify/travel',
    });
  });

  it('names first what is first missing', () => {
    expect(firstThing(en, readinessOf('rig-1', ['travel']))).toBe('wire feed check missing');
  });

  it('lists every rig either knows, in the places of the live view', () => {
    const views = [
      { key: 'spread-1/rig-2', site: 'spread-1', rig: 'rig-2' },
      { key: 'spread-1/rig-1', site: 'spread-1', rig: 'rig-1' },
    ] as unknown as Parameters<typeof readyRigs>[0];
    const said = new Map([ready, readinessOf('rig-0')].map(one => [`${one.site}/${one.rig}`, one] as const));
    const rigs = readyRigs(views, said, Date.now());
    expect(rigs.map(one => one.rig)).toEqual(['rig-2', 'rig-1', 'rig-0']);
    expect(rigs.map(one => one.now?.ready ?? null)).toEqual([null, true, false]);
  });

  it('keeps what was said when the server is out of reach, and takes what the stream says', async () => {
    let answer: readonly RigReadiness[] | null = [ready];
    const store = new ReadinessStore(async () => {
      if (answer === null) throw new Error('gone');
      return { readiness: answer };
    });
    await store.refresh();
    answer = null;
    await store.refresh();
    expect(store.failure.value).toBe('gone');
    expect(store.of('spread-1', 'rig-1')).toBe(ready);
    store.onEvent('live', {});
    store.onEvent('readiness', readinessOf('rig-1'));
    expect(store.of('spread-1', 'rig-1')?.ready).toBe(false);
  });

  it('links only to pages of its own', () => {
    expect(pageLink('/rigs/a/b/verify')).toBe('#/rigs/a/b/verify');
    expect(pageLink('https://elsewhere.example')).toBeNull();
    expect(pageLink(null)).toBeNull();
  });
});

describe('addresses', () => {
  it.each(['#/ready', '#/rigs/spread-1/rig-1/verify', '#/rigs/spread-1/rig-1/verify/wireFeed'])(
    '%s',
    hash => {
      expect(routeUrl(parseRoute(hash))).toBe(hash);
    },
  );
  it('an unknown check is the list of them', () => {
    expect(parseRoute('#/rigs/spread-1/rig-1/verify/luck')).toMatchObject({ view: 'verify', check: null });
  });
});

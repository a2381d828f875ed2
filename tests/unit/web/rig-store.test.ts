import { beforeEach, describe, expect, it } from 'vitest';
import { RigStore } from '../../../dashboard/web/data/rig-store.ts';
import { liveAt, type RigFixture, rigAt } from '../../support/dashboard-fixtures.ts';

const fixture: RigFixture = { rig: 'rig-1', place: 0 };
let nowMs = 0;
let store: RigStore;

const tick = (ms: number): void => {
  nowMs += ms;
  store.publish();
};
const send = (seconds: number, part: RigFixture = fixture): void =>
  store.onEvent('live', {
    thinned: false,
    rigs: [{ site: 'spread-1', rig: part.rig, live: liveAt(part, seconds) }],
  });
const view = () => store.entry('spread-1/rig-1')!.view.value;

beforeEach(() => {
  nowMs = 1000;
  store = new RigStore({ monotonicMs: () => nowMs, wallMs: () => 1_700_000_000_000 + nowMs });
  store.onLink('open');
  store.onEvent('rigs', { serverUtc: '2026-05-12T14:03:00.000Z', rigs: [rigAt(fixture, 0)] });
});

describe('what the page follows of a rig', () => {
  it('shows no value from the first picture', () => {
    tick(500);
    expect(view().values).toBeNull();
    expect(view().feed.cause).toBe('silent');
  });

  it('shows values once record time moves, and withholds them 2 s after it stops', () => {
    send(1);
    tick(500);
    expect(view().values?.weldingCurrent).toBeGreaterThan(200);
    tick(1400);
    expect(view().values).not.toBeNull();
    tick(200);
    expect(view().values).toBeNull();
    expect(view().pass).toBeNull();
    expect(view().outOfRange).toEqual([]);
  });

  it('is not deceived by the same message repeated', () => {
    send(1);
    tick(500);
    for (let i = 0; i < 10; i++) {
      send(1);
      tick(300);
    }
    expect(view().feed.cause).toBe('silent');
  });

  it('changes numbers twice a second, but a flag at once', () => {
    send(1);
    tick(500);
    const first = view();
    send(1.1);
    tick(100);
    expect(view()).toBe(first);
    send(1.2, { ...fixture, arc: 'off' });
    tick(50);
    expect(view().feed.status).toBe('arcOff');
  });

  it('forgets everything when the connection breaks', () => {
    send(1);
    tick(500);
    store.onLink('down');
    expect(view().values).toBeNull();
    store.onLink('open');
    tick(10);
    expect(view().values).toBeNull();
  });

  it('hatches what the edge reports as unobserved, and not what only this page did not see', () => {
    send(1);
    tick(500);
    tick(5000);
    send(6.5);
    tick(500);
    expect(view().unseenMm).toEqual([]);
    send(7, { ...fixture, unobservedS: 0.3 });
    send(7.4, { ...fixture, unobservedS: 0.7 });
    send(8, { ...fixture, unobservedS: 0.7 });
    tick(500);
    // 7.5 mm/s from 6.5 s to 7.4 s.
    expect(view().unseenMm).toHaveLength(1);
    const [span] = view().unseenMm;
    expect((span?.toMm ?? 0) - (span?.fromMm ?? 0)).toBeCloseTo(6.75, 0);
  });

  it('keeps the places it was given', () => {
    store.onEvent('rig', rigAt({ rig: 'rig-0', place: 5 }, 0));
    store.onEvent('rig', rigAt({ rig: 'rig-9', place: 2 }, 0));
    expect(store.entries.value.map(entry => entry.rig.place)).toEqual([0, 2, 5]);
  });
});

import { describe, expect, it } from 'vitest';
import { ringModel } from '../../../dashboard/web/charts/ring-model.ts';
import { feedState } from '../../../dashboard/web/data/feed-state.ts';
import { type SideView, sideView } from '../../../dashboard/web/data/side-view.ts';
import {
  DIAMETER_MM,
  PROCEDURE,
  type RigFixture,
  rigAt,
  ringOf,
  TRAVEL_OUT,
} from '../../support/dashboard-fixtures.ts';

const passes = PROCEDURE.passes.map(({ name }) => name);
const HALF_MM = (Math.PI * DIAMETER_MM) / 2;

function viewOf(fixture: RigFixture, fresh = true, unseenMm: SideView['unseenMm'] = []): SideView {
  const rig = rigAt(fixture, 0);
  const feed = feedState({
    nowMs: 0,
    link: 'open',
    linkDownSinceMs: null,
    rig,
    lastFreshMs: fresh ? 0 : null,
    lastFreshWallMs: null,
    arcWasOn: true,
  });
  return sideView(rig, feed, unseenMm);
}

const model = (views: readonly SideView[]) =>
  ringModel('J-0412', ringOf('J-0412', 'fill 2'), views, passes, null);

describe('the ring of a joint', () => {
  it('has every pass of the procedure, the first innermost', () => {
    const { layers } = model([]);
    expect(layers.map(({ pass }) => pass)).toEqual(passes);
    const radii = layers.map(({ radius }) => radius);
    expect([...radii].sort((a, b) => a - b)).toEqual(radii);
  });

  it('grows each side from 12 to where its arc is: A to the left, B to the right', () => {
    const quarter = HALF_MM / 2;
    const { layers, markers } = model([
      viewOf({ rig: 'a', place: 0, side: 'A', alongMm: quarter }),
      viewOf({ rig: 'b', place: 1, side: 'B', alongMm: quarter }),
    ]);
    const welded = layers.find(({ pass }) => pass === 'fill 2')?.welded ?? [];
    expect(welded).toHaveLength(2);
    for (const { current } of welded) expect(current).toBe(true);
    expect(welded[0]?.fromDeg).toBeCloseTo(270, 1);
    expect(welded[1]?.toDeg).toBeCloseTo(90, 1);
    expect(markers.map(({ clock }) => Math.round(clock))).toEqual([9, 3]);
    expect(layers.find(({ pass }) => pass === 'root')?.welded.every(({ current }) => !current)).toBe(true);
  });

  it('hatches what the page saw missing', () => {
    const { layers } = model([
      viewOf({ rig: 'b', place: 1, alongMm: 500 }, true, [{ fromMm: 100, toMm: 150 }]),
    ]);
    const [unseen] = layers.find(({ pass }) => pass === 'fill 2')?.unseen ?? [];
    const { fromDeg = 0, toDeg = 0 } = unseen ?? {};
    expect(fromDeg).toBeCloseTo((360 * 100) / (Math.PI * DIAMETER_MM), 1);
    expect(toDeg - fromDeg).toBeCloseTo((360 * 50) / (Math.PI * DIAMETER_MM), 3);
  });

  it('marks a side without data as lost where it last was, and draws no live flag for it', () => {
    const { markers, flags } = model([viewOf({ rig: 'b', place: 1, outOfRange: [TRAVEL_OUT] }, false)]);
    expect(markers.map(({ kind }) => kind)).toEqual(['lost']);
    expect(flags.every(({ live }) => !live)).toBe(true);
  });

  it('numbers every excursion once, stored or going on', () => {
    const { flags } = model([viewOf({ rig: 'b', place: 1, outOfRange: [TRAVEL_OUT] })]);
    expect(flags.map(({ number }) => number)).toEqual([1, 2]);
    expect(flags.map(({ live }) => live)).toEqual([false, true]);
    expect(flags.find(({ live }) => live)).toMatchObject({
      pass: 'fill 2',
      side: 'B',
      quantity: 'travelSpeed',
    });
  });

  it('can be drawn before the store knows the joint', () => {
    const bare = ringModel('J-9', null, [viewOf({ rig: 'a', place: 0, joint: 'J-9' })], [], null);
    expect(bare.layers.map(({ pass }) => pass)).toEqual(['fill 2']);
    expect(bare.markers).toHaveLength(1);
  });
});

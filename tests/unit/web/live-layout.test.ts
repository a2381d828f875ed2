import { describe, expect, it } from 'vitest';
import { feedState } from '../../../dashboard/web/data/feed-state.ts';
import { type SideView, sideView } from '../../../dashboard/web/data/side-view.ts';
import { parseRoute, routeUrl } from '../../../dashboard/web/routes.ts';
import { stations } from '../../../dashboard/web/views/live/stations.ts';
import { type RigFixture, rigAt, sixteenSides } from '../../support/dashboard-fixtures.ts';

function viewOf(fixture: RigFixture): SideView {
  const rig = rigAt(fixture, 0);
  const feed = feedState({
    nowMs: 0,
    link: 'open',
    linkDownSinceMs: null,
    rig,
    lastFreshMs: 0,
    lastFreshWallMs: 0,
    arcWasOn: false,
  });
  return sideView(rig, feed, []);
}

const places = (fixtures: readonly RigFixture[]) =>
  stations(fixtures.map(viewOf)).map(({ left, right, joints }) => [left?.rig, right?.rig, joints.length]);

describe('where a side stands on the screen', () => {
  it('pairs places for ever, whatever order rigs are reported in', () => {
    const sixteen = sixteenSides();
    const forward = places(sixteen);
    expect(forward).toHaveLength(8);
    expect(places([...sixteen].reverse())).toEqual(forward);
  });

  it('puts side A left and side B right, as they stand on the pipe', () => {
    const rigs: RigFixture[] = [
      { rig: 'b', place: 0, side: 'B' },
      { rig: 'a', place: 1, side: 'A' },
    ];
    expect(places(rigs)).toEqual([['a', 'b', 1]]);
  });

  it('keeps a rig without work where its place is', () => {
    expect(
      places([
        { rig: 'a', place: 0, noWork: true },
        { rig: 'b', place: 1, noWork: true },
      ]),
    ).toEqual([['a', 'b', 0]]);
    expect(places([{ rig: 'b', place: 3, noWork: true }])).toEqual([[undefined, 'b', 0]]);
  });

  it('gives two joints in one station a ring each', () => {
    expect(
      places([
        { rig: 'a', place: 0, joint: 'J-1' },
        { rig: 'b', place: 1, joint: 'J-2' },
      ]),
    ).toEqual([['a', 'b', 2]]);
  });

  it('drops nobody when two rigs were given one place', () => {
    const rigs = ['a', 'b', 'c'].map(rig => ({ rig, place: 0 }));
    expect(
      places(rigs)
        .flat()
        .filter(name => typeof name === 'string'),
    ).toHaveLength(3);
  });
});

describe('addresses', () => {
  it('come back as they were written, with any text in them', () => {
    const routes = [
      { view: 'live' },
      { view: 'about' },
      { view: 'trends', site: 's/1', rig: 'ü?#', spanS: 300 },
      { view: 'assign', site: 'a', rig: 'b' },
    ] as const;
    for (const route of routes) expect(parseRoute(routeUrl(route))).toEqual(route);
  });

  it('fall back to the live view, and to 120 s', () => {
    expect(parseRoute('#/nowhere/a/b')).toEqual({ view: 'live' });
    expect(parseRoute('#/trends/a/b?span=7')).toMatchObject({ spanS: 120 });
    expect(parseRoute('#/trends/%E0%A4%A/b')).toMatchObject({ view: 'trends' });
  });
});

import { describe, expect, it } from 'vitest';
import { type FeedInput, feedState, STALE_AFTER_MS } from '../../../dashboard/web/data/feed-state.ts';
import { liveAt, rigAt } from '../../support/dashboard-fixtures.ts';

const fixture = { rig: 'rig-1', place: 0 };
const rig = rigAt(fixture, 0);
const WALL_MS = Date.UTC(2026, 4, 12, 14, 3, 22);

const input = (part: Partial<FeedInput> = {}): FeedInput => ({
  nowMs: 10_000,
  link: 'open',
  linkDownSinceMs: null,
  rig,
  lastFreshMs: 9_900,
  lastFreshWallMs: WALL_MS,
  arcWasOn: true,
  ...part,
});

const withLive = (part: Parameters<typeof liveAt>[0]['live']) => ({
  ...rig,
  live: liveAt({ ...fixture, ...(part === undefined ? {} : { live: part }) }, 0),
});

// The 2 s rule: our own decision for the live view ("no sample for 2 s: values become dashes"), no outside source.
describe('whether a value may be shown as live', () => {
  it('shows the arc while data moves', () => {
    expect(feedState(input()).status).toBe('arcOn');
    expect(feedState(input({ rig: withLive({ arc: 'off' }) })).status).toBe('arcOff');
  });

  it('holds at 2 s and is over after it', () => {
    expect(feedState(input({ nowMs: 9_900 + STALE_AFTER_MS })).cause).toBeNull();
    const stale = feedState(input({ nowMs: 9_900 + STALE_AFTER_MS + 1 }));
    expect(stale).toMatchObject({ status: 'noData', cause: 'silent', sinceMs: WALL_MS, arcWasOn: true });
  });

  it('never takes a stored snapshot for live, however new it says it is', () => {
    const never = feedState(input({ lastFreshMs: null, lastFreshWallMs: null }));
    expect(never.cause).toBe('silent');
    expect(never.sinceMs).toBe(Date.parse(rig.live?.at ?? ''));
  });

  it('withholds everything when the link to the server is down, even within 2 s', () => {
    expect(feedState(input({ link: 'down', linkDownSinceMs: 5 })).cause).toBe('link');
    expect(feedState(input({ link: 'connecting' })).status).toBe('noData');
  });

  it('believes the edge when it says its source does not stream, with its sentence', () => {
    const source = {
      state: 'stalled',
      since: '2026-05-12T14:03:01.000Z',
      detail: 'no bytes for 3 s',
    } as const;
    const feed = feedState(input({ rig: withLive({ source }) }));
    expect(feed).toMatchObject({
      cause: 'source',
      detail: 'no bytes for 3 s',
      sinceMs: Date.parse(source.since),
    });
  });

  it('calls held readings no data', () => {
    expect(feedState(input({ rig: withLive({ arc: 'noData' }) })).cause).toBe('held');
  });

  it('names a lost edge once its data is stale', () => {
    const lost = {
      ...rig,
      status: { origin: 'real', state: 'lost', at: '2026-05-12T14:03:09.000Z' } as const,
    };
    expect(feedState(input({ rig: lost })).status).toBe('arcOn');
    expect(feedState(input({ rig: lost, nowMs: 20_000 })).status).toBe('edgeLost');
  });

  it('says when a rig has sent nothing at all', () => {
    const feed = feedState(input({ rig: { ...rig, live: null }, lastFreshMs: null, lastFreshWallMs: null }));
    expect(feed).toMatchObject({ cause: 'never', sinceMs: null });
  });
});

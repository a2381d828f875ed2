/** What the store of the welds adds to a session: passes, arcs, calls and alarms of its time. */
import { describe, expect, it } from 'vitest';
import { sessionDebrief, sessionScore } from '../../../dashboard/server/training/session-debrief.ts';
import { arcsIn, passesIn } from '../../../dashboard/server/training/welded-in.ts';
import { startTestDashboard } from '../../support/test-dashboard.ts';
import { seal, testBody, testDeviation, testEvent, testPass } from '../../support/test-records.ts';
import { testSession } from '../../support/training-debrief.ts';
import { utcAt } from '../../support/training-session.ts';

const RIGS = [{ rig: 'rig-a', side: 'A' }] as const;
const SPAN = { from: utcAt(0), to: utcAt(600) };

async function welded(parts: Parameters<typeof testBody>[0]) {
  const { receive, settle, store } = await startTestDashboard();
  receive('girthlog/1/spread-1/rig-a/record', seal(JSON.stringify(testBody(parts)), 1));
  await settle();
  return store;
}

const arcs = async (...changes: ['arcStart' | 'arcStop', number][]) => {
  const events = changes.map(([type, s], i) => testEvent(i + 1, { type, at: utcAt(s) }));
  return arcsIn(await welded({ events }), [...RIGS], SPAN).map(({ from, to }) => [from, to]);
};

describe('arcs', () => {
  it('burn from their start to their stop, cut at both ends of the session', async () => {
    expect(await arcs(['arcStart', 10], ['arcStop', 60], ['arcStart', 70], ['arcStop', 90])).toEqual([
      [utcAt(10), utcAt(60)],
      [utcAt(70), utcAt(90)],
    ]);
    expect(await arcs(['arcStop', 60], ['arcStart', 500])).toEqual([
      [utcAt(0), utcAt(60)],
      [utcAt(500), utcAt(600)],
    ]);
    expect(await arcs()).toEqual([]);
  });
});

describe('a debrief', () => {
  it('shows calls of the passes in its time, and no others', async () => {
    const store = await welded({
      passes: [
        testPass(1, {
          startUtc: utcAt(-10),
          endUtc: utcAt(200),
          deviations: [testDeviation(130), testDeviation(61)],
        }),
        testPass(2, { joint: 'J-0002', startUtc: utcAt(700), endUtc: utcAt(900) }),
      ],
    });
    expect(passesIn(store, SPAN).map(({ joint }) => joint)).toEqual(['J-0001']);
    const session = testSession();
    const { timeline, joints } = sessionDebrief(session, sessionScore(session, store), store);
    expect(joints).toEqual([{ joint: 'J-0001', origin: 'simulated' }]);
    const called = timeline.filter(({ kind }) => kind === 'deviation');
    expect(called).toMatchObject([{ rig: 'rig-a', side: 'A', joint: 'J-0001', fromMm: expect.any(Number) }]);
    const times = timeline.map(({ at }) => at);
    expect(times).toEqual([...times].sort());
    expect(new Set(timeline.map(({ kind }) => kind))).toEqual(
      new Set(['truth', 'mark', 'note', 'pause', 'deviation']),
    );
  });

  it('is not scored where the lesson was hurried, never began, or its truth is not known', async () => {
    const store = await welded({});
    const scoreOf = (more: Parameters<typeof testSession>[0]) =>
      sessionScore(testSession(more), store).notScored;
    expect(scoreOf({})).toBeNull();
    expect(scoreOf({ hurried: true })).toContain('another speed');
    expect(scoreOf({ startedAt: null })).toContain('never began');
    expect(scoreOf({ truthGap: 'The simulator went away.' })).toBe('The simulator went away.');
  });
});

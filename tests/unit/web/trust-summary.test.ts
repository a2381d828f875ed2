import { describe, expect, it } from 'vitest';
import { feedState } from '../../../dashboard/web/data/feed-state.ts';
import { type SideView, sideView } from '../../../dashboard/web/data/side-view.ts';
import { trustSummary } from '../../../dashboard/web/parts/trust-summary.ts';
import { en } from '../../../dashboard/web/text/en.ts';
import { formats } from '../../../dashboard/web/text/format.ts';
import { type RigFixture, rigAt } from '../../support/dashboard-fixtures.ts';

const format = formats('en', 'UTC');
const open = { state: 'open', downSinceMs: null } as const;

function viewOf(fixture: RigFixture, fresh = true): SideView {
  const rig = rigAt(fixture, 0);
  const feed = feedState({
    nowMs: 0,
    link: 'open',
    linkDownSinceMs: null,
    rig,
    lastFreshMs: fresh ? 0 : null,
    lastFreshWallMs: null,
    arcWasOn: false,
  });
  return sideView(rig, feed, []);
}

const fieldsOf = (views: readonly SideView[], link: Parameters<typeof trustSummary>[3] = open) => {
  const { fields } = trustSummary(en, format, views, link, false);
  return Object.fromEntries(fields.map(field => [field.key, field]));
};

describe('the trust line', () => {
  it('says one origin, or that they are mixed', () => {
    const origin = (views: readonly SideView[]) => trustSummary(en, format, views, open, false).origin;
    expect(origin([viewOf({ rig: 'a', place: 0, origin: 'real' })])).toBe('REAL');
    expect(
      origin([
        viewOf({ rig: 'a', place: 0, origin: 'real' }),
        viewOf({ rig: 'b', place: 1, origin: 'simulated' }),
      ]),
    ).toBe('MIXED: 1 REAL, 1 SIMULATED');
    expect(origin([])).toBe('ORIGIN UNKNOWN');
  });

  it('tells the worst, with the rigs it is true of', () => {
    const bad = {
      clock: { state: 'unsynced', offsetMs: null },
      buffer: { waiting: 40, storedTo: '2026-05-12T14:02:00.000Z', recording: 'failed' },
    } as const;
    const fields = fieldsOf([viewOf({ rig: 'a', place: 0 }), viewOf({ rig: 'b', place: 1, live: bad })]);
    expect(fields['clock']).toMatchObject({ value: 'NOT SYNCED: b', level: 'warn' });
    expect(fields['recording']).toMatchObject({ value: 'FAILED: b', level: 'fail' });
    expect(fields['buffer']?.value).toBe('40 batches waiting');
    expect(fields['stored']?.value).toBe('14:02:00 (oldest of 2)');
  });

  it('calls unknown what a silent rig said before', () => {
    const fields = fieldsOf([viewOf({ rig: 'a', place: 0 }, false)]);
    for (const key of ['clock', 'stored', 'buffer', 'recording']) expect(fields[key]?.value).toBe('unknown');
    expect(
      fieldsOf([viewOf({ rig: 'a', place: 0 }), viewOf({ rig: 'b', place: 1 }, false)])['recording']?.value,
    ).toBe('unknown: b');
  });

  it('says since when the server is gone', () => {
    const down = { state: 'down', downSinceMs: Date.UTC(2026, 4, 12, 14, 3, 9) } as const;
    expect(fieldsOf([], down)['server']).toMatchObject({
      value: 'NO CONNECTION since 14:03:09',
      level: 'fail',
    });
  });
});

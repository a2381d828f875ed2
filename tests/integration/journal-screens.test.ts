/** What is entered at one screen reaches every other, with no edge there; the journal goes on after a kill. */
import { describe, expect, it } from 'vitest';
import type { Entry } from '#core/journal/entry';
import type { Person } from '#core/messages/api';
import type { EntryPage } from '#core/messages/api-journal';
import { startDashboard } from '../support/dashboard-program.ts';
import { readEvents } from '../support/sse-reader.ts';
import { waitUntil } from '../support/wait-until.ts';

const RIG = { site: 'spread-1', rig: 'rig-a' };

describe('the journal between screens', () => {
  it('tells every screen of an entry and of the readiness that changed; a screen that was away catches up', async () => {
    const dashboard = await startDashboard();
    const author = (
      await dashboard.post<Person>('/api/v1/people', { name: 'A. Example', roles: ['weldSetter'] })
    ).id;
    const enter = (body: Entry['body'], reason: string | null = null) =>
      dashboard.post<Entry>('/api/v1/entries', {
        author,
        shiftDate: '2026-05-12',
        reason,
        corrects: null,
        body,
      });
    const screen = await readEvents(`${dashboard.http}/api/v1/stream`);
    const carriage = await enter({ kind: 'carriage', ...RIG, carriageId: 'bug-1' });
    await waitUntil(() => screen.of('readiness').length > 0, 'the readiness of the rig');
    expect(screen.of('entry').map(({ data }) => data)).toEqual([carriage]);
    expect(screen.of('readiness')[0]?.data).toMatchObject({ ...RIG, ready: false, carriageId: 'bug-1' });
    const seen = screen.of('entry').at(-1)?.id ?? '';
    screen.close();

    const hold = await enter({ kind: 'hold', joint: 'J-1', on: true }, 'waiting for a ruling');
    const again = await readEvents(`${dashboard.http}/api/v1/stream`, seen);
    await waitUntil(() => again.of('entry').length > 0, 'the entry made meanwhile');
    expect(again.of('entry').map(({ data }) => data)).toEqual([hold]);
    again.close();

    dashboard.child.kill('SIGKILL');
    await dashboard.exited;
    const second = await startDashboard({ data: dashboard.data });
    const { entries } = await second.json<EntryPage>('/api/v1/entries');
    expect(entries).toEqual([hold, carriage]);
    expect(await second.json('/api/v1/joints/J-1/state')).toMatchObject({
      onHold: { reason: 'waiting for a ruling' },
    });
  });
});

/** A dashboard with something in it, and short ways to enter things in its journal over HTTP. */
import { expect } from 'vitest';
import type { EntryBody, NewEntry } from '#core/journal/entry';
import { ROUTES } from '../../dashboard/server/api/route-table.ts';
import { answer, filled, problem } from './http-answers.ts';
import { STREAM } from './test-records.ts';

export const RIG = { site: 'spread-1', rig: 'rig-a' };

export async function journal() {
  const dashboard = await filled();
  const entryOf = (body: EntryBody, rest: Partial<NewEntry> = {}): NewEntry => ({
    author: dashboard.author,
    shiftDate: '2026-05-12',
    reason: null,
    corrects: null,
    ...rest,
    body,
  });
  const send = (body: EntryBody, rest: Partial<NewEntry> = {}) =>
    dashboard.post('/api/v1/entries', entryOf(body, rest));
  return {
    ...dashboard,
    send,
    enter: async (body: EntryBody, rest: Partial<NewEntry> = {}) =>
      await answer(ROUTES.addEntry, await send(body, rest)),
    refused: async (body: EntryBody, rest: Partial<NewEntry> = {}) => {
      const { status: number, code, detail } = await problem(await send(body, rest));
      expect(detail).toMatch(/^[A-Z][^\n]{10,}[.:]?$/);
      return `${number} ${code}`;
    },
    read: async (path: string) => await answer(ROUTES.entries, await dashboard.get(path)),
  };
}

export const lots = (wireLot: string, joint = 'J-0001'): EntryBody => ({
  kind: 'consumables',
  joint,
  wireLot,
});
export const opened = (joint: string): EntryBody => ({ kind: 'jointOpened', joint });
export const moved = (parts: Partial<Extract<EntryBody, { kind: 'passMoved' }>> = {}): EntryBody => ({
  kind: 'passMoved',
  passId: `${STREAM}:1`,
  joint: 'J-0002',
  side: 'B',
  pass: 'root',
  procedureId: 'example-610',
  procedureRevision: 1,
  ...parts,
});
export const status = (value: 'approved' | 'withdrawn', revision = 1): EntryBody => ({
  kind: 'procedureStatus',
  procedureId: 'example-610',
  procedureRevision: revision,
  status: value,
});
export const WORK = {
  joint: 'J-0001',
  side: 'A',
  pass: 'fill 1',
  procedureId: 'example-610',
  procedureRevision: 1,
  outsideDiameterMm: 610,
  startDegrees: 0,
};

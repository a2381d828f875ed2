/** The page of a shift in front of the server's own routes, over an invented full shift. */
import type { Page } from 'playwright-core';
import type { EntryBody } from '#core/journal/entry';
import { type FullShift, fillWithShift } from './full-shift.ts';
import { startTestDashboard, type TestDashboard } from './test-dashboard.ts';
import { START_MS } from './test-records.ts';
import { goTo, throughServer } from './through-server.ts';
import type { OpenOptions, WebPage } from './web-page.ts';

export const SHIFT = '#/shift?date=2026-05-12';

export interface ShiftPageOptions extends OpenOptions {
  readonly shift?: Partial<FullShift>;
  /** Stops that were entered. */
  readonly stops?: number;
}

export async function openShift(
  open: WebPage['open'],
  { shift, stops = 2, ...options }: ShiftPageOptions = {},
): Promise<{ page: Page; server: TestDashboard }> {
  const server = await startTestDashboard();
  const full: FullShift = { rigs: 4, joints: 12, incomplete: 3, ...shift };
  fillWithShift(server.store, full);
  const minutes = (n: number): string => new Date(START_MS + n * 60_000).toISOString();
  const rig = { site: 'spread-1', rig: 'rig-01' };
  const enter = (n: number, body: EntryBody, reason: string | null): void => {
    server.store.journal.add({
      id: `entry-${n}`,
      at: minutes(n),
      origin: full.origin ?? 'simulated',
      author: 'p-1',
      shiftDate: '2026-05-12',
      reason,
      corrects: null,
      body,
    });
  };
  server.store.addPerson({ id: 'p-1', name: 'A. Example', roles: ['weldSetter'] }, minutes(0));
  enter(
    1,
    { kind: 'rigEvent', ...rig, event: 'spoolChange', happenedAt: minutes(-5), lot: 'W-7', wireKg: 15 },
    null,
  );
  for (let i = 0; i < stops; i++) {
    const body = { kind: 'rigEvent', ...rig, event: 'stop', happenedAt: minutes(20 + i) } as const;
    enter(20 + i, body, 'rain, tents moved up the line');
  }
  const page = await open([], { ...options, hash: '#/about' });
  await throughServer(page, server, /\/api\/v1\/shift(\.csv)?\b/);
  await goTo(page, SHIFT);
  await page.locator('.shift-totals').waitFor();
  return { page, server };
}

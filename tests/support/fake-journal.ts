/** A stand-in for the server's journal routes, in front of the page: entries kept as posted, readiness and edge run as told. */
import type { Page } from 'playwright-core';
import { type Entry, newEntrySchema } from '#core/journal/entry';
import type { Check } from '#core/journal/rig-entries';
import type { EdgeRun, RigReadiness } from '#core/messages/api-journal';
import { enVerify } from '../../dashboard/web/text/en-verify.ts';
import { type RigFixture, START_UTC_MS } from './dashboard-fixtures.ts';
import type { OpenOptions, WebPage } from './web-page.ts';

export interface FakeJournal {
  readonly entries: Entry[];
  readiness: RigReadiness[];
  edgeRun: (() => EdgeRun) | null;
  /** True: nobody answers, as with no server. */
  offline: boolean;
}

const utc = (ms: number): string => new Date(ms).toISOString();

/** Answers the journal's routes for one page. */
export async function fakeJournal(page: Page, readiness: readonly RigReadiness[] = []): Promise<FakeJournal> {
  const journal: FakeJournal = { entries: [], readiness: [...readiness], edgeRun: null, offline: false };
  const problem = (status: number, detail: string) => ({
    status,
    contentType: 'application/problem+json',
    body: JSON.stringify({ type: 'about:blank', title: 'Refused', status, detail, code: 'refused' }),
  });
  await page.route(/\/api\/v1\/(entries|readiness|edge-run)\b/, async route => {
    if (journal.offline) return route.abort('connectionrefused');
    const { pathname } = new URL(route.request().url());
    if (pathname.startsWith('/api/v1/edge-run/')) {
      const run = journal.edgeRun?.();
      return run === undefined
        ? route.fulfill(problem(404, 'No run without an arc is known.'))
        : route.fulfill({ json: run });
    }
    if (pathname === '/api/v1/readiness') return route.fulfill({ json: { readiness: journal.readiness } });
    if (route.request().method() === 'GET') {
      return route.fulfill({ json: { entries: journal.entries.toReversed(), next: null } });
    }
    const read = newEntrySchema.safeParse(route.request().postDataJSON());
    if (!read.success) return route.fulfill(problem(400, read.error.message));
    const number = journal.entries.length + 1;
    const entry: Entry = {
      ...read.data,
      number,
      id: `e-${number}`,
      at: utc(Date.now()),
      origin: 'simulated',
    };
    journal.entries.push(entry);
    return route.fulfill({ status: 201, json: entry });
  });
  return journal;
}

const outcome: Check = {
  check: 'travel',
  tapeOn: 'pipe',
  runS: 30,
  measuredMm: 225,
  tapeUncertaintyMm: 1,
  stopwatchUncertaintyS: 0.2,
  shownMmPerS: 7.53,
  edgeMmPerS: 7.51,
  measuredMmPerS: 7.5,
  errorPercent: 0.4,
  expandedUncertaintyPercent: 0.92,
  limitPercent: 2,
  result: 'pass',
  state: 'asFound',
};

const NAMES = [
  'travel',
  'wireFeed',
  'arcVoltage',
  'weldingCurrent',
  'gasFlow',
  'temperature',
  'clock',
] as const;

/** A rig with nothing checked but what `valid` names; findings as a server words them. */
export function readinessOf(
  rig: string,
  valid: readonly (typeof NAMES)[number][] = [],
  extra: Partial<RigReadiness> = {},
): RigReadiness {
  const missing = NAMES.filter(name => !valid.includes(name));
  return {
    site: 'spread-1',
    rig,
    ready: missing.length === 0,
    checks: NAMES.map(check => ({
      check,
      state: valid.includes(check) ? 'valid' : 'missing',
      last: valid.includes(check) ? { at: utc(START_UTC_MS), author: 'p-1', outcome } : null,
      dueAt: valid.includes(check) ? utc(Date.now() + 8 * 3_600_000) : null,
      why: null,
    })),
    corrections: [],
    carriageId: null,
    findings: missing.map(check => ({
      code: 'checkMissing',
      text: `${enVerify.names[check]}: no check is entered.`,
      action: `Do the ${enVerify.names[check].toLowerCase()} check.`,
      link: `/rigs/spread-1/${rig}/verify/${check}`,
    })),
    ...extra,
  };
}

/** Opens a page behind which the journal answers: the routes have to be there before the page asks. */
export async function openWithJournal(
  web: WebPage,
  rigs: readonly RigFixture[],
  { hash, clock, ...options }: OpenOptions & { readonly hash: string; readonly clock?: boolean },
  readiness: readonly RigReadiness[] = [],
): Promise<{ readonly page: Page; readonly journal: FakeJournal }> {
  const page = await web.open(rigs, { ...options, hash: '#/about' });
  const journal = await fakeJournal(page, readiness);
  if (clock === true) await page.clock.install();
  await page.goto(page.url().replace(/#.*$/, hash));
  await page.reload();
  return { page, journal };
}

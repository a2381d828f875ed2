/** A stand-in for the server's routes of exports, in front of the page: one job that goes as far as the test lets it. */
import type { Page } from 'playwright-core';
import { type ExportJob, type NewExport, newExportSchema } from '#core/messages/api-export';
import { START_UTC_MS } from './dashboard-fixtures.ts';

export interface FakeExports {
  job: ExportJob | null;
  /** What was asked for, in order. */
  readonly asked: NewExport[];
  /** The sentence that the next request is refused with. */
  refusal: string | null;
}

export async function fakeExports(page: Page): Promise<FakeExports> {
  const fake: FakeExports = { job: null, asked: [], refusal: null };
  await page.route(/\/api\/v1\/exports$/, route => {
    if (route.request().method() === 'GET') {
      return route.fulfill({ json: { exports: fake.job === null ? [] : [fake.job] } });
    }
    if (fake.refusal !== null) {
      const problem = {
        type: 'about:blank',
        title: 'Refused',
        status: 404,
        detail: fake.refusal,
        code: 'dayEmpty',
      };
      return route.fulfill({
        status: 404,
        contentType: 'application/problem+json',
        body: JSON.stringify(problem),
      });
    }
    const wanted = newExportSchema.parse(route.request().postDataJSON());
    fake.asked.push(wanted);
    fake.job = {
      id: 'x-1',
      state: 'running',
      date: wanted.date ?? null,
      zone: wanted.zone,
      origin: 'simulated',
      startedAt: new Date(START_UTC_MS).toISOString(),
      endedAt: null,
      done: 0,
      total: 7,
      bytes: 0,
      file: `joints-${wanted.date}.zip`,
      problem: null,
      keptUntil: null,
    };
    return route.fulfill({ status: 201, json: fake.job });
  });
  await page.route(/\/api\/v1\/exports\/x-1\/cancel$/, route => {
    fake.job = { ...fake.job!, state: 'cancelled' };
    return route.fulfill({ status: 201, json: fake.job });
  });
  return fake;
}

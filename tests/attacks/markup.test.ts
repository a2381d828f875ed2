/** Markup in every free text that programs and people can enter: the page shows it as letters and runs none of it. */

import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { Dice } from '../fuzz/dice.ts';
import { type JsonSchema, SchemaValues } from '../fuzz/from-schema.ts';
import { noChromium } from '../support/browser.ts';
import { type DashboardProgram, startDashboard } from '../support/dashboard-program.ts';
import { mqttClient } from '../support/mqtt-client.ts';
import { AS_PROGRAM } from '../support/program-token.ts';
import { ownContext } from '../support/shared-chromium.ts';
import {
  EXAMPLE_PROCEDURE,
  testChain,
  testDeviation,
  testEvent,
  testLive,
  testPass,
} from '../support/test-records.ts';
import { waitUntil } from '../support/wait-until.ts';

/** Short, so that the shortest fields hold a whole one; how markup is smuggled in: OWASP XSS filter evasion, from memory. */
const EVIL = `"><svg onload=hit()><img src=q onerror=hit()>`;
const JOINT = `J-1${EVIL}`;
const RIG = 'girthlog/1/spread-1/rig-a';
/** Enough that each kind of entry comes about, whatever else must fit for it. */
const ENTRIES = 600;

async function entered(dashboard: DashboardProgram): Promise<Map<string, number>> {
  const person = await dashboard.post<{ id: string }>('/api/v1/people', {
    name: EVIL,
    roles: ['weldSetter', 'inspector', 'reviewer'],
  });
  const procedure = {
    ...EXAMPLE_PROCEDURE,
    title: EVIL,
    passes: EXAMPLE_PROCEDURE.passes.map((pass, i) => ({
      ...pass,
      name: i === 0 ? 'fill 1' : `${EVIL}${i}`,
    })),
  };
  await dashboard.post('/api/v1/procedures', { author: person.id, procedure });
  const pass = testPass(1, {
    joint: JOINT,
    deviations: [testDeviation(5)],
    ...{ state: 'closed' as const },
  });
  const { publish } = await mqttClient(dashboard.mqtt);
  const event = testEvent(1, { text: EVIL });
  for (const record of testChain(3, { events: [event], passes: [pass] })) {
    await waitUntil(async () => {
      await publish(`${RIG}/record`, record);
      return (await dashboard.counter('recordStored')) >= record.seq;
    }, `record ${record.seq} to be stored`);
  }
  await publish(`${RIG}/live`, testLive(1_000_000_000));
  await publish(`${RIG}/event`, event);
  const document = await dashboard.json<JsonSchema & { components: { schemas: { EntryBody: JsonSchema } } }>(
    '/openapi.json',
  );
  const accepted = new Map<string, number>();
  const named = {
    ...{
      site: 'spread-1',
      rig: 'rig-a',
      joint: JOINT,
      passId: pass.passId,
      person: person.id,
      pass: 'fill 1',
    },
    ...{ procedureId: 'example-610', procedureRevision: 1, author: person.id, by: person.id },
  };
  for (let n = 0; n < ENTRIES; n++) {
    const values = new SchemaValues(new Dice(20_261_127, n), document, { named, text: EVIL });
    const body = values.of(document.components.schemas.EntryBody) as { kind: string };
    const entry = { author: person.id, shiftDate: '2026-05-12', reason: null, corrects: null, body };
    const answer = await fetch(`${dashboard.http}/api/v1/entries`, {
      method: 'POST',
      headers: { 'content-type': 'application/json', 'x-girthlog': '1', ...AS_PROGRAM },
      body: JSON.stringify(entry),
    });
    await answer.arrayBuffer();
    if (answer.status === 201) accepted.set(body.kind, (accepted.get(body.kind) ?? 0) + 1);
  }
  return accepted;
}

const SCREENS = (joint: string): readonly string[] => [
  '#/',
  '#/alarms',
  '#/alarms/history',
  '#/ready',
  '#/joints',
  `#/joints/${joint}`,
  `#/joints/${joint}/review`,
  `#/joints/${joint}/enter/disposition`,
  ...['particulars', 'lots', 'polarity', 'crew', 'temperature', 'release', 'hold', 'elsewhere'].map(
    task => `#/joints/${joint}/enter/${task}`,
  ),
  '#/trends/spread-1/rig-a',
  '#/rigs/spread-1/rig-a/assign',
  '#/verify/spread-1/rig-a',
  '#/procedures',
  '#/procedures/example-610',
  '#/procedures/example-610/1',
  '#/shift',
  '#/changes',
  '#/changes/settings',
  '#/about',
  '#/settings',
];

/** What a page that ran any of it, or was made of it, would show. */
async function problemsOf(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const state = globalThis as unknown as { hits: number; violations: string[] };
    const made = document.querySelectorAll('img[src="q"], [onload], [onerror]').length;
    return [
      ...(state.hits > 0 ? [`${state.hits} scripts ran`] : []),
      ...(made > 0 ? [`${made} elements were made of text`] : []),
      ...state.violations,
    ];
  });
}

describe.skipIf(noChromium())('markup in every text', () => {
  it('is shown as letters on every screen', async () => {
    const dashboard = await startDashboard();
    const accepted = await entered(dashboard);
    // Most kinds of entry took it: what is looked at below is really there.
    expect(accepted.size).toBeGreaterThanOrEqual(12);
    const context = await ownContext({ extraHTTPHeaders: AS_PROGRAM, serviceWorkers: 'block' });
    await context.addInitScript(() => {
      const state = globalThis as unknown as { hits: number; hit: () => void; violations: string[] };
      state.hits = 0;
      state.hit = () => {
        state.hits++;
      };
      state.violations = [];
      document.addEventListener('securitypolicyviolation', event => {
        state.violations.push(`${event.violatedDirective}: ${event.blockedURI} ${event.sample}`);
      });
    });
    const page = await context.newPage();
    const errors: string[] = [];
    page.on('pageerror', error => errors.push(error.message));
    page.on('dialog', dialog => {
      errors.push(`a dialog: ${dialog.message()}`);
      void dialog.dismiss();
    });
    // All but the live stream, which has no end.
    const asked = new Set<string>();
    page.on('request', request => {
      if (request.url().includes('/api/') && !request.url().includes('/stream')) asked.add(request.url());
    });
    page.on('requestfinished', request => asked.delete(request.url()));
    page.on('requestfailed', request => asked.delete(request.url()));
    let seen = 0;
    for (const hash of SCREENS(encodeURIComponent(JOINT))) {
      await page.goto(`${dashboard.http}/${hash}`);
      await page.reload();
      await waitUntil(
        () => asked.size === 0,
        () => `${hash} to have what it asked for: ${[...asked].join()}`,
      );
      expect({ hash, problems: await problemsOf(page), errors }).toEqual({ hash, problems: [], errors: [] });
      if (((await page.locator('body').textContent()) ?? '').includes('<svg onload=hit()>')) seen++;
    }
    // As letters it stands on most of them.
    expect(seen).toBeGreaterThanOrEqual(8);
  });
});

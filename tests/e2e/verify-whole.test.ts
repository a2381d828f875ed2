import { describe, expect, it } from 'vitest';
import type { EntryPage, RigReadiness } from '#core/messages/api-journal';
import { noChromium } from '../support/browser.ts';
import { startDashboard } from '../support/dashboard-program.ts';
import { ADDRESS, writeConfig } from '../support/edge-bench.ts';
import { startIdleDevice } from '../support/idle-device.ts';
import { startProgram } from '../support/programs.ts';
import { ownContext } from '../support/shared-chromium.ts';
import { signInBrowser } from '../support/sign-in-browser.ts';
import { tempDir } from '../support/temp-dir.ts';
import { waitUntil } from '../support/wait-until.ts';
import { shownText } from '../support/web-page.ts';

const RIG = `${ADDRESS.site}/${ADDRESS.rig}`;
/** Reported by the rig, mm/s; the tape says it is 4 % less. */
const REPORTED = 7.8;
const TRUE = 7.5;

describe.skipIf(noChromium())('a travel check with device, edge, broker, server and page', () => {
  it('is seen by the edge, saved, corrected, and leaves the rig’s readiness in the server’s words', async () => {
    const device = await startIdleDevice();
    const dashboard = await startDashboard();
    startProgram('girthlog-edge', ['run', '--config', writeConfig(tempDir(), device.url, dashboard.mqtt)]);
    const readiness = () => dashboard.json<RigReadiness>(`/api/v1/rigs/${RIG}/readiness`);
    const travel = async () => (await readiness()).checks.find(one => one.check === 'travel');
    const page = await (await ownContext({ viewport: { width: 390, height: 844 } })).newPage();
    await signInBrowser(page, dashboard, 'Ines Marrow', ['weldSetter']);
    await page.goto(`${dashboard.http}/#/`);

    await page.getByRole('link', { name: /^NOT READY travel check missing/ }).click();
    await page.getByRole('link', { name: 'Check travel' }).click();
    await page.getByLabel('Outside diameter, mm').fill('620');
    await page.getByLabel('Run for, s').fill('5');
    device.travel(REPORTED);
    await page.getByRole('button', { name: 'START' }).click();
    await page.locator('.timer[data-run="due"]').waitFor();
    await page.getByRole('button', { name: 'STOP' }).click();
    device.travel(0);
    await page.getByText(/^7\.8\d* mm\/s, from .*, for [56]\.\d\d s$/).waitFor();
    await page.getByRole('button', { name: 'Use it as the value shown' }).click();
    // A stopwatch of ± 0.2 s would decide nothing in 5 s; this one is good enough.
    await page.locator('.more summary').click();
    await page.getByLabel('Stopwatch, ± s').fill('0.01');
    await page.getByLabel('Tape, ± mm').fill('0.1');
    const runS = Number(await page.getByLabel('Run time, s').inputValue());
    await page.getByLabel('Distance by tape, mm').fill((TRUE * runS).toFixed(2));
    await page.locator('.result[data-result="fail"]').waitFor();
    expect(await shownText(page.locator('.result'))).toContain('4.0 % high');
    await page.getByText('Entered as Ines Marrow').first().waitFor();
    await page.getByRole('button', { name: 'Save this check' }).click();
    await page.getByRole('heading', { name: 'Saved' }).waitFor();
    expect(await travel()).toMatchObject({
      state: 'failed',
      last: { outcome: { edgeMmPerS: expect.closeTo(REPORTED, 2) } },
    });

    await page.getByRole('button', { name: 'Record a correction factor' }).click();
    await page.getByRole('button', { name: /^Record: none \(1\.0000\) becomes 0\.96\d\d$/ }).click();
    await page.getByText(/^Recorded: × 0\.96\d\d from/).waitFor();
    expect((await readiness()).corrections).toMatchObject([
      { channel: 'travelSpeed', factor: expect.closeTo(TRUE / REPORTED, 2), previous: 1 },
    ]);

    await page.getByRole('button', { name: 'Adjusted: check again as left' }).click();
    await page.getByText(/^A correction of × 0\.96\d\d is in force/).waitFor();
    await page.getByLabel('Run time, s').fill('60');
    await page.getByLabel('Distance by tape, mm').fill('450');
    await page.getByLabel('What the rig showed').fill('7.8');
    await page.locator('.result[data-result="pass"]').waitFor();
    await page.getByRole('button', { name: 'Save this check' }).click();
    await page.getByRole('heading', { name: 'Saved' }).waitFor();
    expect(await travel()).toMatchObject({ state: 'valid' });

    const { entries } = await dashboard.json<EntryPage>(
      `/api/v1/entries?subject=${encodeURIComponent(`rig ${RIG}`)}`,
    );
    expect(entries.map(({ body }) => body.kind)).toEqual(['verification', 'correction', 'verification']);
    await page.goto(`${dashboard.http}/#/ready`);
    await page.getByText('1 rig of 1 is not ready.').waitFor();
    await page.getByText(/^travel × 0\.96\d\d \(before: 1\.0000\), from .*, by Ines Marrow$/).waitFor();
    const rows = await page.locator('.ready-checks tbody tr').all();
    expect(await shownText(rows[0]!)).toMatch(/Travel[\s\S]*valid[\s\S]*PASS/);
    // What another screen enters is said here without asking.
    const wire = await page.getByText('Wire feed: no check is entered.').count();
    expect(wire).toBe(1);
    const { id } = (await dashboard.json<{ people: { id: string }[] }>('/api/v1/people')).people[0]!;
    const first = entries.at(-1)!;
    await dashboard.post('/api/v1/entries', {
      author: id,
      shiftDate: first.shiftDate,
      reason: null,
      corrects: null,
      body: {
        kind: 'rigEvent',
        ...ADDRESS,
        event: 'repair',
        happenedAt: new Date().toISOString(),
      },
    });
    await waitUntil(async () => (await travel())?.state === 'expired', 'the repair to end the check');
    await page.getByText(/^Travel: due since .*repair/).waitFor();
  });
});

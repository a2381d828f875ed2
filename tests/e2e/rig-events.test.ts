import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { noChromium } from '../support/browser.ts';
import { type RigFixture, START_UTC_MS } from '../support/dashboard-fixtures.ts';
import { type FakeJoints, fakeJoints } from '../support/fake-joints.ts';
import { type OpenOptions, shownText, webPage } from '../support/web-page.ts';

const rigs: readonly RigFixture[] = [
  { rig: 'rig-3', place: 0, joint: 'J-0412' },
  { rig: 'rig-4', place: 1, joint: 'J-0412' },
];
const EVENT = '#/rigs/spread-1/rig-3/event';

describe.skipIf(noChromium())('what happens at a rig', () => {
  const { open, fake } = webPage();

  async function at(
    hash: string,
    options: OpenOptions = {},
    remembered = true,
  ): Promise<{ page: Page; joints: FakeJoints }> {
    const page = await open(rigs, { ...options, hash: '#/about' });
    const joints = await fakeJoints(page);
    if (remembered) {
      await page.evaluate(() =>
        localStorage.setItem('girthlog.person', JSON.stringify({ id: 'p-1', name: 'Ines Marrow' })),
      );
    }
    await page.goto(`${fake().url}/${hash}`);
    return { page, joints };
  }

  it('is entered from the live tile in two taps with gloves on a phone, without scrolling', async () => {
    const { page, joints } = await at('#/', { width: 390, height: 844, gloves: true });
    await page.getByRole('link', { name: 'Enter event rig-3' }).click();
    const tip = page.getByRole('radio', { name: 'Contact tip changed' });
    await tip.waitFor();
    const save = page.getByRole('button', { name: /save/i });
    for (const target of [tip, page.getByRole('radio', { name: 'Band changed' }), save]) {
      const box = await target.boundingBox();
      expect(box?.height).toBeGreaterThanOrEqual(96);
      expect(box?.y).toBeGreaterThanOrEqual(0);
      expect((box?.y ?? 0) + (box?.height ?? 0)).toBeLessThanOrEqual(844);
    }
    await tip.check();
    await page.getByRole('button', { name: 'Save: Contact tip changed' }).click();
    await page.getByText(/^Saved: Contact tip changed/).waitFor();
    expect(joints.entries).toMatchObject([
      {
        ...{ author: 'p-1', reason: null, corrects: null },
        body: { kind: 'rigEvent', site: 'spread-1', rig: 'rig-3', event: 'tipChange' },
      },
    ]);
    await page.locator('.entry-list', { hasText: 'Contact tip changed' }).waitFor();
  });

  it('asks once who it is, and remembers', async () => {
    const { page, joints } = await at(EVENT, {}, false);
    await page.getByRole('radio', { name: 'Contact tip changed' }).check();
    await page.getByRole('button', { name: 'Save: Contact tip changed' }).click();
    await page.getByText('Choose or enter who is making this entry.').waitFor();
    await page.getByLabel('Who is entering this').selectOption({ label: 'Tobi Lund' });
    await page.getByRole('button', { name: 'Save: Contact tip changed' }).click();
    await page.getByText(/^Saved/).waitFor();
    await page.reload();
    await page.getByText('by Tobi Lund').first().waitFor();
    expect(joints.entries[0]?.author).toBe('p-2');
  });

  it.each([
    ['Wire spool changed', 'Wire lot on the new spool', 'Enter the lot.', { lot: 'W-77' }, null],
    ['Gas cylinder changed', 'Lot of the new cylinder', 'Enter the lot.', { lot: 'W-77' }, null],
    ['Set point changed', 'What was changed, and why', 'Enter the reason.', {}, 'W-77'],
    ['Stop', 'Why it stopped', 'Enter the reason.', {}, 'W-77'],
  ])('asks at “%s” for %s', async (event, label, missing, body, reason) => {
    const { page, joints } = await at(EVENT);
    await page.getByRole('radio', { name: event }).check();
    await page.getByRole('button', { name: `Save: ${event}` }).click();
    await page.getByText(missing).waitFor();
    expect(joints.entries).toEqual([]);
    await page.getByLabel(label).fill('W-77');
    await page.getByRole('button', { name: `Save: ${event}` }).click();
    await page.getByText(`Saved: ${event}`).waitFor();
    expect(joints.entries[0]).toMatchObject({ reason, body });
  });

  it('keeps the event and its moment while the server is away', async () => {
    const { page, joints } = await at(EVENT);
    joints.offline = true;
    const before = Date.now();
    await page.getByRole('radio', { name: 'Drive wheel changed' }).check();
    const after = Date.now();
    await page.getByRole('button', { name: 'Save: Drive wheel changed' }).click();
    await page
      .getByRole('alert')
      .getByText(/cannot be reached.*Save again when the server is back/)
      .waitFor();
    joints.offline = false;
    await page.reload();
    await page.getByRole('button', { name: 'Save: Drive wheel changed' }).click();
    await page.getByText(/^Saved/).waitFor();
    const [{ body }] = joints.entries as [FakeJoints['entries'][number]];
    const happened = Date.parse('happenedAt' in body ? body.happenedAt : '');
    expect(happened).toBeGreaterThanOrEqual(before);
    expect(happened).toBeLessThanOrEqual(after + 1000);
  });

  it('is corrected with a reason; the first entry stays struck through', async () => {
    const { page, joints } = await at('#/about');
    joints.enter({
      ...{ kind: 'rigEvent', site: 'spread-1', rig: 'rig-3', event: 'tipChange' },
      happenedAt: new Date(START_UTC_MS).toISOString(),
    });
    await page.goto(`${fake().url}/${EVENT}`);
    await page.getByRole('link', { name: /^Correct Contact tip changed/ }).click();
    await page.getByRole('radio', { name: 'Drive wheel changed' }).check();
    await page.getByLabel('Why this is corrected').fill('wrong button');
    await page.getByRole('button', { name: 'Save: Drive wheel changed' }).click();
    await page.locator('s', { hasText: 'Contact tip changed' }).waitFor();
    expect(await shownText(page.locator('.entry-list'))).toContain('corrected by Ines Marrow: wrong button');
    expect(joints.entries[1]).toMatchObject({ corrects: 'e-1', body: { event: 'wheelChange' } });
  });

  it('is marked on the trends, with words beside them', async () => {
    const { page, joints } = await at('#/about');
    const entry = joints.enter({
      ...{ kind: 'rigEvent', site: 'spread-1', rig: 'rig-3', event: 'tipChange' },
      happenedAt: new Date().toISOString(),
    });
    await page.goto(`${fake().url}/#/trends/spread-1/rig-3?span=60`);
    fake().send('entry', entry);
    await page.locator('.trend-events', { hasText: 'Contact tip changed' }).waitFor();
  });

  it('can be done with the keyboard alone', async () => {
    const { page, joints } = await at(EVENT);
    await page.getByRole('radio', { name: 'Contact tip changed' }).focus();
    await page.keyboard.press('Space');
    await page.getByRole('button', { name: 'Save: Contact tip changed' }).focus();
    await page.keyboard.press('Enter');
    await page.getByText(/^Saved/).waitFor();
    expect(joints.entries).toHaveLength(1);
    await page.locator('.saved-note:focus').waitFor();
  });
});

/** Language, units, decimal sign and time zone of a device: chosen, shown at once, kept. */
import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { axeViolations } from '../support/axe-violations.ts';
import { noChromium } from '../support/browser.ts';
import { type RigFixture, TRAVEL_OUT } from '../support/dashboard-fixtures.ts';
import { hasSidewaysScroll, shownText, webPage } from '../support/web-page.ts';

const two: readonly RigFixture[] = [
  { rig: 'rig-3', place: 0, alongMm: 400 },
  { rig: 'rig-4', place: 1, alongMm: 430, outOfRange: [TRAVEL_OUT], values: { travelSpeed: 9.6 } },
];
const message = (page: Page) => page.locator('.message.out').first();
const kept = (page: Page, key: string) =>
  page.evaluate(name => localStorage.getItem(name), `girthlog.${key}`);

describe.skipIf(noChromium())('the settings of a device', () => {
  const { open, fake } = webPage();

  // CLDR: a point in Mexico, a comma in Spain.
  it.each([
    ['es-MX', 'es', 'avance 9.6, límite 9.0 mm/s'],
    ['es-ES', 'es', 'avance 9,6, límite 9,0 mm/s'],
    ['en-US', 'en', 'travel 9.6, limit 9.0 mm/s'],
    ['de-DE', 'en', 'travel 9.6, limit 9.0 mm/s'],
  ])('begin as a browser of %s prefers', async (locale, language, words) => {
    const page = await open(two, { locale });
    await message(page).waitFor();
    expect(await page.locator('html').getAttribute('lang')).toBe(language);
    expect(await shownText(message(page))).toContain(words);
  });

  it('show at once, without loading the page again, by keyboard alone, and are kept', async () => {
    const page = await open(two, { hash: '#/settings', width: 320, height: 640 });
    await page.getByRole('radio', { name: 'English' }).waitFor();
    await page.evaluate(() => {
      (window as unknown as { stayed: boolean }).stayed = true;
    });
    await page.getByRole('radio', { name: 'English' }).focus();
    await page.keyboard.press('ArrowRight');
    await page.getByRole('heading', { name: 'Ajustes de este dispositivo' }).waitFor();
    expect(await page.locator('html').getAttribute('lang')).toBe('es');
    await page.getByRole('radio', { name: /in\/min/ }).check();
    await page.getByText('Velocidad de avance: 18,0 in/min').waitFor();
    await page.getByRole('radio', { name: '7.5 (punto)' }).check();
    await page.getByText('Velocidad de avance: 18.0 in/min').waitFor();
    expect(await page.evaluate(() => (window as unknown as { stayed?: boolean }).stayed)).toBe(true);
    expect(await hasSidewaysScroll(page)).toBe(false);
    expect(await axeViolations(page)).toEqual([]);
    expect([await kept(page, 'language'), await kept(page, 'units'), await kept(page, 'decimal')]).toEqual([
      'es',
      'inch',
      'point',
    ]);
    await page.getByRole('link', { name: 'Volver a la vista en vivo' }).click();
    await message(page).waitFor();
    // 9.6 mm/s = 22.7 in/min, 9.0 mm/s = 21.3 in/min (1 in = 25.4 mm, exact).
    expect(await shownText(message(page))).toContain('avance 22.7, límite 21.3 in/min');
    await page.reload();
    await message(page).waitFor();
    expect(await shownText(message(page))).toContain('límite 21.3 in/min');
  });

  it('what is typed in inches with a comma is stored in millimetres; what may be one of two numbers is refused', async () => {
    const page = await open(two, {
      hash: '#/assign/spread-1/rig-4',
      language: 'es',
      units: 'inch',
      decimal: 'comma',
    });
    const diameter = page.getByLabel('Diámetro exterior, in');
    await diameter.waitFor();
    await page.locator('input[name="procedure"]').first().check();
    await page.locator('input[name="pass"]').first().check();
    await page.getByLabel('Número de junta').fill('J-0500');
    await page.locator('input[name="side"]').last().check();
    await page.locator('#who').selectOption({ index: 1 });
    // 610 mm of the procedure.
    expect(await diameter.inputValue()).toBe('24,01575');
    await diameter.fill('24.125');
    await page.getByRole('button', { name: 'Asignar', exact: true }).click();
    await page.getByText('“24.125” puede ser uno de dos números').waitFor();
    await diameter.fill('24,125');
    const sent = page.waitForRequest(request => request.method() === 'POST');
    await page.getByRole('button', { name: 'Asignar', exact: true }).click();
    const body = (await sent).postDataJSON() as { readonly work: { readonly outsideDiameterMm: number } };
    // 24.125 in × 25.4 mm.
    expect(body.work.outsideDiameterMm).toBeCloseTo(612.775, 9);
  });

  it('times are those of the job; that the device has others is said once', async () => {
    const page = await open(two, {
      hash: '#/settings',
      prepare: async of => {
        await of.route('**/api/v1/system', route =>
          route.fulfill({ json: { timeZone: 'America/Mexico_City' } }),
        );
      },
    });
    const note = page.locator('.zone-note');
    await note.waitFor();
    expect(await shownText(note)).toContain('America/Mexico_City');
    // UTC −6 all year since 2022 (IANA time zone database); the page’s clock began at 14:03 UTC.
    await page.goto(`${fake().url}/#/`);
    await page.locator('.trust-field.now .zone', { hasText: 'GMT-6' }).waitFor();
    await page.locator('.trust-field', { hasText: /stored to\s*08:03/ }).waitFor();
    await note.getByRole('button').click();
    await note.waitFor({ state: 'detached' });
    await page.reload();
    await page.locator('.tile').first().waitFor();
    await page.locator('.trust-field.now .zone', { hasText: 'GMT-6' }).waitFor();
    expect(await note.count()).toBe(0);
  });
});

import { describe, expect, it } from 'vitest';
import { axeViolations } from '../support/axe-violations.ts';
import { noChromium } from '../support/browser.ts';
import type { RigFixture } from '../support/dashboard-fixtures.ts';
import { openWithJournal, readinessOf } from '../support/fake-journal.ts';
import { hasSidewaysScroll, shownText, webPage } from '../support/web-page.ts';

const rigs: readonly RigFixture[] = [
  { rig: 'rig-3', place: 0 },
  { rig: 'rig-4', place: 1 },
];
const readiness = [
  readinessOf('rig-3', ['clock', 'gasFlow']),
  readinessOf(
    'rig-4',
    ['travel', 'wireFeed', 'arcVoltage', 'weldingCurrent', 'gasFlow', 'temperature', 'clock'],
    {
      carriageId: 'carriage-2',
      corrections: [
        { channel: 'travelSpeed', factor: 0.9615, from: '2026-05-12T13:00:00.000Z', author: 'p-2' },
      ],
    },
  ),
];
const LIST = '#/rigs/spread-1/rig-3/verify';
const SCREENS = [
  LIST,
  ...['travel', 'wireFeed', 'arcVoltage', 'gasFlow', 'temperature', 'clock'].map(check => `${LIST}/${check}`),
  '#/ready',
];

describe.skipIf(noChromium())('the screens of checks and readiness', () => {
  const web = webPage();

  for (const theme of ['day', 'night'] as const) {
    it.each(SCREENS)(`have nothing for axe to say, and reflow at 320 px: %s, ${theme}`, async hash => {
      const options = { hash, theme, width: 320, height: 640, reducedMotion: true };
      const { page } = await openWithJournal(web, rigs, options, readiness);
      await page.locator('h1').waitFor();
      if (hash === '#/ready') await page.locator('.ready-checks').first().waitFor();
      const save = page.getByRole('button', { name: 'Save this check' });
      if ((await save.count()) > 0) {
        await page.locator('.more summary').click();
        await save.click();
        await page.locator('.error').first().waitFor();
      }
      expect(await axeViolations(page)).toEqual([]);
      expect(await hasSidewaysScroll(page)).toBe(false);
    });
  }

  it.each(['day', 'night'] as const)(
    'tell three results apart by word, mark and frame; none is green: %s',
    async theme => {
      const { page } = await openWithJournal(web, rigs, { hash: `${LIST}/clock`, theme, width: 390 });
      const seen: string[] = [];
      for (const [offset, state] of [
        ['20', 'pass'],
        ['190', 'notShown'],
        ['900', 'fail'],
      ] as const) {
        await page.getByLabel('Rig clock minus reference, ms').fill(offset);
        await page.getByLabel(/^Uncertainty, ± ms/).fill('50');
        const panel = page.locator(`.result[data-result="${state}"]`);
        await panel.waitFor();
        const look = await panel.evaluate(one => {
          const word = one.querySelector('.result-word') as HTMLElement;
          const { borderTopStyle } = getComputedStyle(one);
          const colours = [word, one].map(node =>
            getComputedStyle(node)
              .backgroundColor.match(/[\d.]+/g)
              ?.map(Number),
          );
          return { words: word.textContent, borderTopStyle, colours };
        });
        seen.push(look.words);
        for (const [red = 0, green = 0, blue = 0, alpha = 1] of look.colours.map(colour => colour ?? [])) {
          expect(alpha > 0 && green > red + 10 && green > blue + 10, `${state} ${look.colours}`).toBe(false);
        }
        expect(look.borderTopStyle).toBe(state === 'notShown' ? 'dashed' : 'solid');
        expect(await axeViolations(page)).toEqual([]);
      }
      expect(seen).toEqual(['✓ PASS', '? NOT SHOWN', '◆ FAIL']);
    },
  );

  it.each([
    [false, 48],
    [true, 96],
  ])('have targets for hands (gloves %s: at least %d px)', async (gloves, least) => {
    for (const hash of [`${LIST}/travel`, `${LIST}/arcVoltage`, LIST, '#/ready', '#/']) {
      const { page } = await openWithJournal(web, rigs, { hash, gloves, width: 390, height: 844 }, readiness);
      await page.locator('h1').first().waitFor();
      if (hash === '#/') await page.locator('.tile-ready').first().waitFor();
      const small = await page
        .locator(
          'main button:visible, main a.button, .tile-ready, main select, main input:not([type="radio"]), .pick, summary',
        )
        .evaluateAll(
          (all, px) =>
            all.filter(one => one.getBoundingClientRect().height < px).map(one => one.outerHTML.slice(0, 80)),
          least,
        );
      expect(small).toEqual([]);
    }
  });

  it('show the shift’s start: what is missing with its one action, and that nobody is locked out', async () => {
    const { page } = await openWithJournal(web, rigs, { hash: '#/ready' }, readiness);
    await page.getByText('1 rig of 2 is not ready.').waitFor();
    await page.locator('.ready', { hasText: 'Ines Marrow' }).waitFor();
    const text = await shownText(page.locator('.ready'));
    expect(text).toContain('Nobody is locked out');
    expect(text).toContain('travel × 0.9615');
    expect(text).toContain('carriage-2');
    expect(text).toMatch(/PASS: 0\.4 % high ± 0\.9 % \(k = 2\)\. Ines Marrow/);
    await page.getByRole('link', { name: 'Do the travel check. rig-3' }).click();
    await page.getByRole('heading', { name: 'Travel check, rig-3' }).waitFor();
    await page.goBack();
    await page.getByText('1 rig of 2 is not ready.').waitFor();
    web.fake().send('readiness', { ...readiness[1]!, rig: 'rig-3' });
    await page.getByText('All 2 rigs are ready.').waitFor();
  });

  it('say that a check ran out while the page was open, and that the connection is gone', async () => {
    const { page } = await openWithJournal(web, rigs, { hash: '#/ready', clock: true }, readiness);
    await page.getByText('1 rig of 2 is not ready.').waitFor();
    await page.clock.fastForward(9 * 3_600_000);
    await page.getByText('2 rigs of 2 are not ready.').waitFor();
    await page.getByText('Travel: EXPIRED.').waitFor();
    web.fake().cut();
    await page
      .getByText(/^No connection to the dashboard server since .*: this is what was last known\.$/)
      .waitFor();
    expect(await page.locator('.rig-ready').count()).toBe(2);
  });

  it('print without buttons, in black on white', async () => {
    const { page } = await openWithJournal(web, rigs, { hash: '#/ready', theme: 'night' }, readiness);
    await page.locator('.ready-checks').first().waitFor();
    await page.emulateMedia({ media: 'print' });
    expect(await page.getByRole('button', { name: 'Print this page' }).isVisible()).toBe(false);
    expect(await page.getByText('Name, signature, time').isVisible()).toBe(true);
    const colours = await page.evaluate(() =>
      ['h1', '.ready-checks td', '.hint', '.ready-word'].map(
        at => getComputedStyle(document.querySelector(`main ${at}`)!).color,
      ),
    );
    for (const colour of colours) {
      expect(Math.max(...colour.match(/\d+/g)!.slice(0, 3).map(Number)), colours.join()).toBeLessThan(120);
    }
  });

  it('prove a voltage against a meter; a meter past its date shows nothing', async () => {
    const { page, journal } = await openWithJournal(web, rigs, { hash: `${LIST}/arcVoltage` }, readiness);
    expect(await shownText(page.locator('.caution-box'))).toContain('Electric shock');
    await page.getByLabel('What the rig showed, V').fill('24.1');
    await page.getByLabel('What the reference showed, V').fill('24');
    await page.getByLabel('Serial number of the reference').fill('M-118');
    await page.getByLabel('Reference, ± V').fill('0.1');
    await page.getByLabel('Calibration due').fill('2020-01-31');
    await page.getByText(/past its calibration date/).waitFor();
    expect(await page.locator('.result').getAttribute('data-result')).toBe('notShown');
    await page.getByLabel('Calibration due').fill('2120-01-31');
    await page.locator('.result[data-result="pass"]').waitFor();
    await page.getByLabel('Who made this check').selectOption('new');
    await page.getByLabel('Name', { exact: true }).fill('Asta Brandt');
    await page.getByRole('button', { name: 'Save this check' }).click();
    await page.getByRole('heading', { name: 'Saved' }).waitFor();
    expect(journal.entries[0]).toMatchObject({
      author: 'p-new',
      body: {
        outcome: {
          check: 'arcVoltage',
          unit: 'V',
          referenceSerial: 'M-118',
          referenceDue: '2120-01-31T23:59:59.999Z',
          referenceUncertainty: 0.1,
          result: 'pass',
        },
      },
    });
    await page.getByRole('link', { name: 'All checks of this rig' }).first().click();
    await page.locator('.history li', { hasText: 'Arc voltage, as found: PASS' }).waitFor();
  });
});

import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { axeViolations } from '../support/axe-violations.ts';
import { noChromium } from '../support/browser.ts';
import { ago, trainingPages, windowsNow } from '../support/training-pages.ts';
import { trainingWindow } from '../support/training-session.ts';
import { waitUntil } from '../support/wait-until.ts';
import { hasSidewaysScroll, shownText, webPage } from '../support/web-page.ts';

const PHONE = { width: 390, height: 844 };
const main = (page: Page): Promise<string> => shownText(page.locator('main'));

describe.skipIf(noChromium())('training', () => {
  const web = webPage();

  it('the trainer starts, the trainee marks in three taps, the trainer ends, self-rating, debrief', async () => {
    const { dashboard, control, trainer, trainee, weld } = await trainingPages(web);
    const desk = await trainer(PHONE);
    await desk.getByRole('heading', { name: 'Open a lesson' }).waitFor();
    // The key is held by the tab and no longer stands in its address.
    expect(desk.url()).toMatch(/#\/training\/trainer$/);
    // No link is offered for a device that could not open it.
    await desk.getByText('Your link again').click();
    await desk.getByText('reached from this computer only').waitFor();
    expect(await desk.getByText('second device').count()).toBe(0);
    await desk.getByRole('button', { name: 'Open the lesson' }).click();
    await desk.getByText('Choose a lesson.').waitFor();
    await desk.getByRole('radio', { name: 'Stick-out (10 min, 2 rigs)' }).check();
    await desk.getByText('See a slow drift of the current').waitFor();
    await desk.getByLabel('Trainee', { exact: true }).fill('T. Learner');
    await desk.getByLabel('Trainer', { exact: true }).fill('B. Teacher');
    await desk.getByRole('radio', { name: 'Check: no hints' }).check();
    await desk.getByLabel('Seed').fill('42');
    await desk.getByRole('button', { name: 'Open the lesson' }).click();
    await desk.getByRole('button', { name: 'Start', exact: true }).click();
    await desk.getByRole('button', { name: 'Freeze' }).waitFor();
    expect(await shownText(desk.locator('.steer-facts'))).toMatch(/RUNNING[\s\S]*Check[\s\S]*42/);

    const board = await trainee('#/');
    await board.getByText('TRAINING, Check').waitFor();
    control.truth = windowsNow();
    await dashboard.tick!();
    await desk.getByText('NOW', { exact: true }).first().waitFor();
    expect(await main(desk)).toContain('Stick-out grows, 4 mm');
    expect(await desk.locator('.truth-strip .truth-signal').count()).toBeGreaterThan(0);
    expect(await desk.locator('.truth-rig').count()).toBe(2);

    const tile = board.locator('.tile[data-key="spread-1/rig-a"]');
    await tile.getByRole('button', { name: 'Something is wrong here' }).click();
    await board.getByRole('heading', { name: 'Side A, rig-a: what moved?' }).waitFor();
    await board.getByRole('button', { name: 'Current', exact: true }).click();
    await board.getByRole('heading', { name: 'Side A, rig-a, Current: what would you do?' }).waitFor();
    await board.getByRole('button', { name: 'Call the technician' }).click();
    await board.getByText(/Kept, \d\d:\d\d:\d\d: Side A, rig-a, Current, Call the technician\.$/).waitFor();
    expect(await board.locator('dialog[open]').count()).toBe(0);
    const seen = await shownText(board.locator('body'));
    expect(seen).toContain('SIMULATED');
    expect(seen).not.toMatch(/Stick-out|gas is lost|hint/i);

    await desk.getByText('finds what is wrong there').waitFor();
    await weld();
    await desk.getByRole('button', { name: 'Freeze' }).click();
    await board.getByText('FROZEN BY THE TRAINER').waitFor();
    await desk.getByRole('button', { name: 'Resume' }).click();
    await board.getByText('FROZEN BY THE TRAINER').waitFor({ state: 'detached' });
    await desk.getByLabel('Note', { exact: true }).fill('Looked at the right side at once.');
    await desk.getByRole('button', { name: 'Keep the note' }).click();
    await desk.locator('li', { hasText: 'Looked at the right side at once.' }).waitFor();
    await desk.getByRole('button', { name: 'End the lesson' }).click();
    await desk.getByRole('button', { name: 'Yes, end it' }).click();

    await board.getByRole('link', { name: 'Rate yourself, then see the debrief' }).click();
    await board.getByRole('heading', { name: 'First: how did it go?' }).waitFor();
    expect(await main(board)).not.toMatch(/Hits|Stick-out grows/);
    await board.getByRole('button', { name: 'Keep it and show the score' }).click();
    await board.getByText('Choose 1 to 5 first.').waitFor();
    await board.getByRole('radio', { name: '4: most of it' }).check();
    await board.getByRole('button', { name: 'Keep it and show the score' }).click();
    await board.locator('.score-counts').waitFor();
    const count = (name: string): Promise<string> => shownText(board.locator(`[data-count="${name}"] dd`));
    expect(await count('hit')).toBe('1 of 1');
    expect(await count('leftAlone')).toBe('1 of 1');
    expect(await count('rightChannel')).toBe('1 of 1');
    expect(await count('falseAlarm')).toBe('0');
    const debrief = await main(board);
    expect(debrief).toContain('The trainee rated themselves 4 of 5');
    // 10 signals and 10 noises are needed; here there are fewer.
    expect(debrief).toMatch(/Not given: .*at least 10/);
    const hit = board.locator('tr[data-result="hit"]');
    // Marked 400 mm along the side; the signal began at 320 mm.
    expect(await shownText(hit)).toMatch(/Stick-out grows, 4 mm[\s\S]*HIT[\s\S]*\d+ s[\s\S]*value right/);
    await board.getByRole('img', { name: /Side A, rig-a: truth 1, rules \d+, alarms 0, marks 1/ }).waitFor();
    await board.getByText('As a table').click();
    await board.locator('.timeline-table tr[data-kind="mark"]', { hasText: 'Current' }).waitFor();
    await board.locator('.timeline-table tr[data-kind="note"]').waitFor();
    await board.getByRole('img', { name: /Joint T-0001/ }).waitFor();
    const pdf = board.getByRole('link', { name: 'Debrief as PDF' });
    expect(await pdf.getAttribute('href')).toMatch(
      /^\/api\/v1\/training\/sessions\/[^/]+\/debrief\.pdf\?zone=[\w%-]+$/,
    );
    await hit.getByRole('link', { name: 'From 10 s before' }).click();
    await board.getByRole('link', { name: 'Back to the debrief' }).click();
    await board.locator('.score-counts').waitFor();
  });

  it('the trainer writes two things to keep and two to change; sessions are listed, and deleted after one question', async () => {
    const { trainer, trainee, opened, post, dashboard } = await trainingPages(web);
    const id = await opened();
    await post(`/${id}/start`, {});
    await post(`/${id}/end`, {});
    await post(`/${id}/self-rating`, { rating: 2 });
    const desk = await trainer();
    await desk.getByRole('link', { name: 'Sessions', exact: true }).click();
    const row = desk.locator('.session-row', { hasText: 'T. Learner' });
    expect(await row.getByRole('link', { name: 'Export' }).getAttribute('href')).toMatch(/export\.json$/);
    await row.getByRole('link', { name: 'Debrief' }).click();
    await desk.getByLabel('Keep 1').fill('Looked early.');
    await desk.getByLabel('Change 2').fill('Say what to do.');
    await desk.getByRole('button', { name: 'Keep these' }).click();
    await desk.getByText('Kept.', { exact: true }).waitFor();
    const reader = await trainee(`#/training/debrief/${id}`);
    await reader.locator('li', { hasText: 'Say what to do.' }).waitFor();
    expect(await reader.getByRole('button', { name: 'Keep these' }).count()).toBe(0);

    await desk.getByRole('link', { name: 'Sessions', exact: true }).click();
    await row.getByRole('button', { name: 'Delete' }).click();
    await desk.getByRole('button', { name: 'Keep it' }).click();
    await row.getByRole('button', { name: 'Delete' }).click();
    await desk.getByRole('button', { name: 'Delete for good' }).click();
    await desk.getByText('Copies that people made').waitFor();
    await desk.getByText('No session has been held here.').waitFor();
    expect((await dashboard.get(`/api/v1/training/sessions/${id}`)).status).toBe(404);
  });

  it('a fault is put in from where the rig is, in words and with its unit', async () => {
    const { trainer, opened, post, control } = await trainingPages(web);
    await post(`/${await opened()}/start`, {});
    const desk = await trainer(PHONE);
    await desk.getByRole('radio', { name: 'Side B, rig-b: joint T-0001, fill 1' }).check();
    await desk.getByLabel('What goes wrong').selectOption({ label: 'Shielding gas is lost' });
    await desk.getByLabel('Size, %').fill('much');
    await desk.getByRole('button', { name: 'Put it in' }).click();
    await desk.getByText('A number from −100 to 1000.').waitFor();
    await desk.getByLabel('Size, %').fill('80');
    await desk.getByLabel('Grows over, mm of weld').fill('20');
    await desk.getByLabel('Lasts, mm of weld').fill('');
    await desk.getByRole('button', { name: 'Put it in' }).click();
    await desk.getByText('Put in: Shielding gas is lost, 80 %, Side B, rig-b.').waitFor();
    expect(control.told).toEqual(['open', 'start', 'inject']);
    await desk.getByRole('button', { name: '×4' }).click();
    await desk.getByText('does not count: it ran at another speed than ×1').waitFor();
  });

  it('practice hints where to look after a while; a check never does', async () => {
    const { trainee, opened, post, control, dashboard } = await trainingPages(web);
    const id = await opened('practice');
    await post(`/${id}/start`, {});
    const board = await trainee('#/');
    await board.getByText('TRAINING, Practice').waitFor();
    const stuck = (agoS: number) => [trainingWindow('s1', 0, 0, { beganUtc: ago(agoS), endedUtc: null })];
    control.truth = stuck(30);
    await dashboard.tick!();
    await board.getByText('look at Side A, rig-a.').waitFor();
    control.truth = stuck(70);
    await dashboard.tick!();
    await board.getByText('Side A, rig-a: Current. Right would be: Call the technician.').waitFor();
    await post(`/${id}/end`, {});
    await post(`/${await opened('check')}/start`, {});
    await board.getByText('TRAINING, Check').waitFor();
    control.truth = stuck(70);
    await dashboard.tick!();
    await board.reload();
    await board.getByText('TRAINING, Check').waitFor();
    expect(await board.locator('.training-hint').count()).toBe(0);
  });

  it('by keyboard: a mark is made and left again; a tab with the trainer’s key has no button', async () => {
    const { trainee, trainer, opened, post } = await trainingPages(web);
    await post(`/${await opened()}/start`, {});
    const board = await trainee('#/');
    const button = board
      .locator('.tile[data-key="spread-1/rig-b"]')
      .getByRole('button', { name: 'Something is wrong here' });
    // Focus and key in one: a page that has just opened may still move the focus to its beginning.
    await button.press('Enter');
    const question = board.getByRole('heading', { name: 'Side B, rig-b: what moved?' });
    await question.waitFor();
    await board.keyboard.press('Escape');
    await question.waitFor({ state: 'detached' });
    // Left, it is where it was: on the button.
    await waitUntil(
      () => button.evaluate(one => one === document.activeElement),
      () => 'the focus to be on the button again',
    );
    await board.keyboard.press('Enter');
    await question.waitFor();
    await board.keyboard.press('Tab');
    await board.keyboard.press('Enter');
    await board.getByRole('heading', { name: 'Current: what would you do?' }).waitFor();
    await board.keyboard.press('Tab');
    await board.keyboard.press('Enter');
    await board.getByText('Side B, rig-b, Current, Leave it alone.').waitFor();
    const desk = await trainer();
    await desk.getByRole('button', { name: 'Freeze' }).waitFor();
    await desk.getByRole('link', { name: 'Live', exact: true }).click();
    await desk.locator('.tile').first().waitFor();
    expect(await desk.locator('.mark-open').count()).toBe(0);
  });

  it('a dashboard of real rigs has no entry, and says what training is when asked', async () => {
    const page = await web.open([{ rig: 'rig-3', place: 0, alongMm: 400 }]);
    await page.locator('.tile').waitFor();
    expect(await page.getByRole('link', { name: 'Training' }).count()).toBe(0);
    expect(await page.locator('.mark-open').count()).toBe(0);
    await page.goto(`${web.fake().url}/#/training/trainer`);
    await page.getByText('This dashboard is not set up for training').waitFor();
  });

  it.each([
    ['phone', { width: 320, height: 640, theme: 'day' }],
    ['phone with gloves', { ...PHONE, theme: 'night', gloves: true }],
    ['tablet', { width: 820, height: 1180, theme: 'day' }],
    ['truck screen', { width: 1920, height: 1080, theme: 'night' }],
  ] as const)('on a %s nothing is cut off and nothing is against WCAG 2.2 AA', async (_, size) => {
    const { trainee, trainer, opened, post, control, dashboard, weld } = await trainingPages(web);
    const clean = async (page: Page): Promise<void> => {
      expect(await hasSidewaysScroll(page)).toBe(false);
      expect(await axeViolations(page)).toEqual([]);
    };
    const desk = await trainer(size);
    await desk.getByRole('heading', { name: 'Open a lesson' }).waitFor();
    await clean(desk);
    const id = await opened('practice');
    await post(`/${id}/start`, {});
    control.truth = windowsNow();
    await weld();
    await dashboard.tick!();
    const board = await trainee('#/', size);
    await board.getByRole('button', { name: 'Something is wrong here' }).first().click();
    await board.getByRole('heading', { name: 'what moved?' }).waitFor();
    await clean(board);
    await board.getByRole('button', { name: 'Travel' }).click();
    await board.getByRole('button', { name: 'Trim' }).click();
    await board.locator('.mark-kept').waitFor();
    await clean(board);
    await desk.locator('[data-meaning]').waitFor();
    await clean(desk);
    await post(`/${id}/freeze`, {});
    await board.getByText('FROZEN BY THE TRAINER').waitFor();
    await clean(board);
    await post(`/${id}/end`, {});
    await board.getByRole('link', { name: 'Rate yourself, then see the debrief' }).click();
    await board.getByRole('heading', { name: 'First: how did it go?' }).waitFor();
    await clean(board);
    await board.getByRole('radio', { name: '3: about half' }).check();
    await board.getByRole('button', { name: 'Keep it and show the score' }).click();
    await board.getByRole('img', { name: /Joint T-0001/ }).waitFor();
    await board.getByText('As a table').click();
    await clean(board);
    await desk.getByRole('link', { name: 'Sessions', exact: true }).click();
    await desk.getByRole('button', { name: 'Delete' }).click();
    await clean(desk);
    await board.getByRole('link', { name: 'Training', exact: true }).click();
    await board.getByRole('heading', { name: 'How to mark' }).waitFor();
    await clean(board);
  });
});

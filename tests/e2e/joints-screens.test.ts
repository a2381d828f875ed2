import { describe, expect, it } from 'vitest';
import { axeViolations } from '../support/axe-violations.ts';
import { noChromium } from '../support/browser.ts';
import { PROCEDURE, type RigFixture } from '../support/dashboard-fixtures.ts';
import { fakeJoints, passAt } from '../support/fake-joints.ts';
import { hasSidewaysScroll, type OpenOptions, openDetails, webPage } from '../support/web-page.ts';

const rigs: readonly RigFixture[] = [
  { rig: 'rig-3', place: 0, joint: 'J-0412' },
  { rig: 'rig-4', place: 1, joint: 'J-0412' },
];

/** Every screen of joints and events, and what says that it is there. */
const SCREENS: readonly (readonly [string, string])[] = [
  ['#/joints', '.joint-row'],
  ['#/open-joint?joint=J-0412', '.message.out'],
  ['#/joints/J-0412', '.layer'],
  ['#/joints/J-0412/enter/particulars', '#joint-station'],
  ['#/joints/J-0412/enter/lots', '#wire-lot'],
  ['#/joints/J-0412/enter/polarity', '.pick'],
  ['#/joints/J-0412/enter/crew', '.message.out'],
  ['#/joints/J-0412/enter/qualification?person=p-1', '#process'],
  ['#/joints/J-0412/enter/temperature', '#temperature'],
  ['#/joints/J-0412/enter/release?pass=root', '#release-note'],
  ['#/joints/J-0412/enter/hold', '#reason'],
  ['#/joints/J-0412/enter/elsewhere?pass=cap&side=A', '#welded-at'],
  ['#/passes/s:5/move?joint=J-0412', '#joint'],
  ['#/rigs/spread-1/rig-3/event', '.event-picks'],
  ['#/assign/spread-1/rig-3', '.proposal'],
];

describe.skipIf(noChromium())('every screen of joints and events', () => {
  const { open, fake } = webPage();

  async function filled(options: OpenOptions) {
    const page = await open(rigs, { ...options, hash: '#/about' });
    const joints = await fakeJoints(page, [
      passAt('s:1', 0, { name: 'root' }),
      passAt('s:3', 20, { name: 'hot' }),
      passAt('s:4', 40, { name: null, joint: null, side: null }),
      passAt('s:5', 45, { name: 'fill 1', joint: 'J-0413' }),
    ]);
    const { enter } = joints;
    enter({
      ...{ kind: 'jointOpened', joint: 'J-0412', station: '14+220', weather: 'dry' },
      ...{ procedureId: PROCEDURE.id, procedureRevision: 1 },
    });
    const wrong = enter({ kind: 'consumables', joint: 'J-0412', wireLot: 'W-1' });
    enter(
      { kind: 'consumables', joint: 'J-0412', wireLot: 'W-2' },
      { corrects: wrong.id, reason: 'misread' },
    );
    enter({ kind: 'crew', joint: 'J-0412', weldSetter: null, operatorA: 'p-1', operatorB: null });
    enter({ kind: 'layerRelease', joint: 'J-0412', pass: 'root', released: false });
    enter({ kind: 'hold', joint: 'J-0412', on: true }, { reason: 'ruling asked for' });
    enter(
      {
        ...{ kind: 'passMoved', passId: 's:5', joint: 'J-0412', side: 'B', pass: 'hot' },
        ...{ procedureId: PROCEDURE.id, procedureRevision: 1 },
      },
      { reason: 'typed wrong' },
    );
    enter({
      ...{ kind: 'temperatureReading', joint: 'J-0412', quantity: 'preheatTemperature', pass: 'root' },
      ...{ valueCel: 104, clock: 12, takenAt: '2026-05-12T13:50:00.000Z' },
    });
    enter({
      ...{ kind: 'rigEvent', site: 'spread-1', rig: 'rig-3', event: 'spoolChange', lot: 'W-1' },
      happenedAt: '2026-05-12T13:50:00.000Z',
    });
    joints.proposal = {
      ...{ joint: 'J-0412', side: 'B', pass: 'fill 1', procedureId: PROCEDURE.id, procedureRevision: 1 },
      why: 'hot is done.',
      findings: [{ code: 'onHold', text: 'On hold.', action: 'Ask.', link: '/joints/J-0412/enter/hold' }],
    };
    await page.evaluate(() =>
      localStorage.setItem('girthlog.person', JSON.stringify({ id: 'p-1', name: 'Ines Marrow' })),
    );
    return page;
  }

  it.each(['day', 'night'] as const)('has nothing for axe to say, %s', async theme => {
    const page = await filled({ theme, reducedMotion: true });
    const found: string[] = [];
    for (const [hash, ready] of SCREENS) {
      await page.goto(`${fake().url}/${hash}`);
      await page.locator(ready).first().waitFor();
      await openDetails(page);
      found.push(...(await axeViolations(page)).map(violation => `${hash} ${violation}`));
    }
    expect(found).toEqual([]);
  });

  it('reflows at 320 px, everything opened', async () => {
    const page = await filled({ width: 320, height: 640 });
    const wide: string[] = [];
    for (const [hash, ready] of SCREENS) {
      await page.goto(`${fake().url}/${hash}`);
      await page.locator(ready).first().waitFor();
      await openDetails(page);
      if (await hasSidewaysScroll(page)) wide.push(hash);
    }
    expect(wide).toEqual([]);
  });

  it.each([
    [false, 48],
    [true, 96],
  ])('has targets for hands (gloves %s: at least %d px)', async (gloves, least) => {
    const page = await filled({ width: 390, height: 800, gloves });
    const small: string[] = [];
    for (const [hash, ready] of SCREENS) {
      await page.goto(`${fake().url}/${hash}`);
      await page.locator(ready).first().waitFor();
      small.push(
        ...(await page
          .locator(
            'main button:visible, main a:visible, main select, main input:not([type="radio"]), main .pick, main summary',
          )
          .evaluateAll(
            (all, px) =>
              all
                .filter(one => one.getBoundingClientRect().height < px)
                .map(one => one.outerHTML.slice(0, 90)),
            least,
          )),
      );
    }
    expect(small).toEqual([]);
  });
});

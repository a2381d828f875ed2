/** The list of joints over HTTP: filters, pages, and that whatever happens to a joint is in its row at the next reading. */
import { describe, expect, it } from 'vitest';
import type { EntryBody } from '#core/journal/entry';
import { ROUTES } from '../../dashboard/server/api/route-table.ts';
import { answer, problem } from '../support/http-answers.ts';
import { journal, moved, opened, RIG, WORK } from '../support/http-journal.ts';
import { fillWithJoints, manyJoint } from '../support/many-joints.ts';
import { START_MS, STREAM, seal, testBody, testDeviation, testPass } from '../support/test-records.ts';

/** J-0001: one pass with a deviation, on rig-a. */
async function listed() {
  const dashboard = await journal();
  const list = async (query = '') =>
    await answer(ROUTES.jointList, await dashboard.get(`/api/v1/joint-list${query}`));
  const names = async (query = '') => (await list(query)).joints.map(({ joint }) => joint);
  const row = async (joint: string) => (await list(`?find=${joint}`)).joints[0] ?? null;
  let seq = 21;
  let prev: string | undefined;
  const weld = async (...passes: ReturnType<typeof testPass>[]) => {
    seq++;
    const record = seal(JSON.stringify(testBody({ passes })), seq, prev);
    prev = record.hash;
    dashboard.receive('girthlog/1/spread-1/rig-a/record', record);
    await dashboard.settle();
  };
  return { ...dashboard, list, names, row, weld };
}

const minute = (n: number): string => new Date(START_MS + n * 60_000).toISOString();

describe('the list of joints', () => {
  it('says of each joint what is done, what is missing and how it stands', async () => {
    const { row, enter } = await listed();
    expect(await row('J-0001')).toMatchObject({
      ...{ origin: 'simulated', opened: false, passes: 1, repairs: 0, deviations: 1, disposition: null },
      ...{ rigs: ['spread-1/rig-a'], procedure: { id: 'example-610', revision: 1 } },
      // Root and fill on two sides; only the fill of side A is there.
      ...{ done: 1, wanted: 4, complete: false, nextPass: 'root', firstArcUtc: minute(1) },
      missing: [
        'Joint J-0001 was never opened: its particulars are not known.',
        'root, side A, is missing though fill 1 is there.',
      ],
    });
    await enter({ ...opened('J-0001'), station: 'KP 12+400' } as EntryBody);
    expect(await row('J-0001')).toMatchObject({
      ...{ opened: true, station: 'KP 12+400' },
      missing: ['root, side A, is missing though fill 1 is there.'],
    });
  });

  it('takes each filter by itself and all of them together', async () => {
    const { names, enter, weld } = await listed();
    await weld(testPass(200, { joint: 'J-0002' }));
    await enter({ ...opened('J-0002'), station: 'KP 12+400' } as EntryBody);
    await enter(opened('J-0003'));
    expect(await names()).toEqual(expect.arrayContaining(['J-0001', 'J-0002', 'J-0003']));
    expect(await names('?find=kp12')).toEqual(['J-0002']);
    expect(await names('?station=12%2B4')).toEqual(['J-0002']);
    expect(await names('?deviations=yes')).toEqual(['J-0001']);
    expect((await names('?deviations=no')).sort()).toEqual(['J-0002', 'J-0003']);
    expect((await names('?rig=spread-1/rig-a')).sort()).toEqual(['J-0001', 'J-0002']);
    expect(await names('?rig=spread-1/rig')).toEqual([]);
    expect((await names('?procedureId=example-610&procedureRevision=1')).sort()).toEqual([
      'J-0001',
      'J-0002',
    ]);
    expect(await names('?procedureId=example-610&procedureRevision=2')).toEqual([]);
    expect((await names('?incomplete=yes')).sort()).toEqual(['J-0001', 'J-0002', 'J-0003']);
    expect(await names('?incomplete=no')).toEqual([]);
    expect((await names('?disposition=none')).sort()).toEqual(['J-0001', 'J-0002', 'J-0003']);
    expect(await names('?disposition=cutOut')).toEqual([]);
    // Of J-0002 the arc burned from minute 200 on, for 50 s.
    expect(await names(`?fromUtc=${minute(199)}&toUtc=${minute(201)}`)).toEqual(['J-0002']);
    expect(await names(`?toUtc=${minute(100)}`)).toEqual(['J-0001']);
    expect(await names(`?find=j-00&deviations=yes&rig=spread-1/rig-a&toUtc=${minute(100)}`)).toEqual([
      'J-0001',
    ]);
  });

  it('gives pages that joints coming meanwhile do not shift', async () => {
    const { list, enter, store } = await listed();
    fillWithJoints(store, 30);
    const seen: string[] = [];
    let page = await list('?limit=12&find=L-');
    expect(page.joints[0]?.joint).toBe(manyJoint(29));
    while (page.next !== null) {
      seen.push(...page.joints.map(({ joint }) => joint));
      await enter(opened(`L-9${seen.length}`));
      page = await list(`?limit=12&find=L-&before=${page.next}`);
    }
    seen.push(...page.joints.map(({ joint }) => joint));
    expect(seen).toEqual(Array.from({ length: 30 }, (_, i) => manyJoint(29 - i)));
  });

  it('has in its row whatever was recorded, entered, moved or assigned since', async () => {
    const { row, enter, weld, post, author } = await listed();
    expect(await row('J-0001')).toMatchObject({ passes: 1, onHold: false });
    await enter({ kind: 'hold', joint: 'J-0001', on: true }, { reason: 'asked' });
    expect(await row('J-0001')).toMatchObject({ onHold: true });
    await weld(testPass(9, { joint: 'J-0001', side: 'B', deviations: [testDeviation(1)] }));
    expect(await row('J-0001')).toMatchObject({ passes: 2, deviations: 2 });
    // Moved away, and then once more: all three joints follow.
    const move = await enter(moved({ passId: `${STREAM}:1`, joint: 'J-0002' }), { reason: 'typed wrong' });
    expect([await row('J-0001'), await row('J-0002')]).toMatchObject([{ passes: 1 }, { passes: 1 }]);
    await enter(moved({ passId: `${STREAM}:1`, joint: 'J-0003' }), { reason: 'again', corrects: move.id });
    expect([await row('J-0002'), await row('J-0003')]).toMatchObject([{ passes: 0 }, { passes: 1 }]);
    expect(await row('J-0009')).toBeNull();
    await answer(
      ROUTES.addAssignment,
      await post('/api/v1/assignments', { ...RIG, author, work: { ...WORK, joint: 'J-0009' } }),
    );
    expect(await row('J-0009')).toMatchObject({ passes: 0, procedure: { id: 'example-610' } });
    await answer(
      ROUTES.addAssignment,
      await post('/api/v1/assignments', { ...RIG, author, work: { ...WORK, joint: 'J-0010' } }),
    );
    // Nothing else was ever known of it.
    expect(await row('J-0009')).toBeNull();
  });

  it('refuses what is no filter', async () => {
    const { get } = await listed();
    for (const query of ['?rig=a', '?deviations=maybe', '?disposition=good', '?fromUtc=today', '?day=1']) {
      expect((await problem(await get(`/api/v1/joint-list${query}`))).status).toBe(400);
    }
  });
});

describe('a joint that was cut out', () => {
  async function cutOut() {
    const dashboard = await listed();
    const rule = (joint: string, minutes: number) =>
      dashboard.store.journal.add({
        ...{ id: `ruled-${joint}`, at: minute(minutes), origin: 'simulated', author: dashboard.author },
        ...{ shiftDate: '2026-05-12', reason: 'crack', corrects: null },
        body: { kind: 'disposition', joint, decision: 'cutOut' },
      });
    rule('J-0005', 30);
    return dashboard;
  }

  it('is never opened, and takes no pass that was welded later', async () => {
    const { refused, enter, weld, names } = await cutOut();
    expect(await names('?disposition=cutOut')).toEqual(['J-0005']);
    expect(await refused(opened('J-0005'))).toBe('409 jointCutOut');
    await weld(testPass(60, { joint: 'J-0006' }));
    const to = (passId: string) => moved({ passId, joint: 'J-0005', side: 'A', pass: 'root' });
    const reason = { reason: 'typed wrong' };
    expect(await refused(to(`${STREAM}:60`), reason)).toBe('409 jointCutOut');
    // Pass 1 began a minute into the day, before the ruling: it may be found to belong there.
    expect((await enter(to(`${STREAM}:1`), reason)).body).toMatchObject({ joint: 'J-0005' });
  });

  it('is warned of where it is assigned: the rig may be welding it already', async () => {
    const { post, author } = await cutOut();
    const work = { ...WORK, joint: 'J-0005' };
    const { findings } = await answer(
      ROUTES.addAssignment,
      await post('/api/v1/assignments', { ...RIG, author, work }),
    );
    expect(findings[0]).toMatchObject({ code: 'jointCutOut' });
  });
});

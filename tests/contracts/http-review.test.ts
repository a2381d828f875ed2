/** A joint under review over HTTP: windows of the stored samples by place, and what lies under an indication. */
import { describe, expect, it } from 'vitest';
import type { EntryBody } from '#core/journal/entry';
import { REVIEW_ROUTES } from '../../dashboard/server/api/review-routes.ts';
import { answer, problem } from '../support/http-answers.ts';
import { journal } from '../support/http-journal.ts';
import { flaggedFill, plainRoot, reviewDashboard, scanReport } from '../support/reviewed-joint.ts';

const JOINT = 'J-0042';

async function welded() {
  const dashboard = await reviewDashboard();
  const passes = [await dashboard.weld(plainRoot(JOINT)), await dashboard.weld(flaggedFill(JOINT))];
  const review = async () =>
    await answer(REVIEW_ROUTES.jointReview, await dashboard.get(`/api/v1/joints/${JOINT}/review`));
  return { ...dashboard, passes, review };
}

const scan = (parts: Partial<Extract<EntryBody, { kind: 'scanReport' }>> = {}): EntryBody =>
  scanReport(JOINT, parts);

describe('a joint under review', () => {
  it('shows every pass in windows of weld at their place, with what is out of the window limits', async () => {
    const { review } = await welded();
    const { passes, procedure, outsideDiameterMm } = await review();
    expect(procedure).toMatchObject({ id: 'review-610', passes: ['root', 'fill 1'] });
    expect(outsideDiameterMm).toBe(610);
    expect(passes.map(({ work, layer }) => [work.pass, layer])).toEqual([
      ['root', 0],
      ['fill 1', 1],
    ]);
    const fill = passes[1]!;
    // 64 s at 7.5 mm/s: 480 mm, windows of 25 mm; what is left is too short for one.
    expect(fill.windowsNote).toBeNull();
    expect(fill.windows).toHaveLength(19);
    expect(fill.windows[0]?.fromMm).toBeCloseTo(0, 0);
    // Each is a sample or so longer than 25 mm.
    expect(Math.abs(fill.windows.at(-1)!.toMm! - 477)).toBeLessThan(3);
    const out = fill.windows.filter(({ out: found }) => found.includes('weldingCurrent'));
    // 150 to 225 mm, to a window: 280 A outweighs 236 A in one that it only shares.
    expect(Math.abs(out[0]!.fromMm! - 150)).toBeLessThan(26);
    expect(Math.abs(out.at(-1)!.toMm! - 225)).toBeLessThan(26);
    expect(out.length).toBeGreaterThan(2);
    expect(fill.windows[3]?.values.arcEnergy).toBeCloseTo((236 * 24) / 7.5 / 1000, 3);
    // A quarter of the way down side B is 3 o'clock: 479.1 mm.
    expect(fill.windows.at(-1)?.toClock).toBeCloseTo(3, 1);
    expect(fill.quality).toMatchObject({ missingChannels: ['gasFlow'], pruned: false });
  });

  it('a side that starts past 12 o’clock does so in its own direction, as the engine has it', async () => {
    const dashboard = await reviewDashboard();
    await dashboard.weld({ ...plainRoot(JOINT), startDegrees: 30 });
    await dashboard.weld({ ...plainRoot(JOINT), side: 'A', startDegrees: 30 });
    const { passes } = await answer(
      REVIEW_ROUTES.jointReview,
      await dashboard.get(`/api/v1/joints/${JOINT}/review`),
    );
    // 30° are an hour of the clock: side B begins at 1, side A, which runs against the clock, at 11.
    expect(passes.map(({ startDegrees }) => ((startDegrees ?? 0) + 360) % 360)).toEqual([30, 330]);
    expect(passes[0]!.windows[0]!.fromClock).toBeCloseTo(1, 1);
    expect(passes[1]!.windows[0]!.fromClock).toBeCloseTo(11, 1);
  });

  it('puts each layer at its depth by what was deposited', async () => {
    const { review } = await welded();
    const [root, fill] = (await review()).passes;
    expect(root?.depth?.bottomMm).toBe(15.9);
    expect(fill?.depth?.bottomMm).toBe(root?.depth?.topMm);
    expect(fill!.depth!.topMm).toBeLessThan(root!.depth!.topMm);
    expect(fill!.depth!.topMm).toBeGreaterThan(0);
  });

  it('lists under an NDT call the windows, starts and events of every pass at its place and depth', async () => {
    const { review, enter, passes } = await welded();
    const entry = await enter(scan());
    const { indications } = await review();
    expect(indications).toHaveLength(1);
    const [call] = indications;
    expect(call).toMatchObject({ scanEntryId: entry.id, label: '1', findings: [] });
    expect(call?.place?.fromMm).toBeCloseTo(180, 6);
    const fill = call?.covered.find(({ passId }) => passId === passes[1]!.passId);
    // 180 to 195 mm, ± 25 mm and the uncertainties of both: the windows of the excursion are among them.
    expect(fill?.windows).toEqual(expect.arrayContaining([6, 7, 8]));
    expect(fill).toMatchObject({ startsHere: false, endsHere: false });
    await enter({
      kind: 'reviewFinding',
      joint: 'J-0042',
      indication: { scanEntryId: entry.id, label: '1' },
      correlation: 'none',
      text: 'Nothing in the record explains it.',
    });
    expect((await review()).indications[0]?.findings).toMatchObject([{ body: { correlation: 'none' } }]);
  });

  it('an indication on the other side of the pipe covers nothing of this one', async () => {
    const { review, enter } = await welded();
    await enter(
      scan({
        indications: [
          {
            label: '2',
            type: 'porosity',
            position: 9,
            unit: 'clock',
            lengthMm: 5,
            depthMm: null,
            heightMm: null,
          },
        ],
      }),
    );
    expect((await review()).indications[0]?.covered).toEqual([]);
  });

  it('reads indications from a table, or says where it cannot', async () => {
    const { post } = await journal();
    const csv = 'label;type;position;unit;length_mm\r\n7;porosity;12,5;degrees;3';
    const read = await answer(REVIEW_ROUTES.readIndications, await post('/api/v1/indication-table', { csv }));
    expect(read.indications).toMatchObject([{ label: '7', position: 12.5, lengthMm: 3, depthMm: null }]);
    const refused = await problem(
      await post('/api/v1/indication-table', { csv: 'label,type,position,unit,length_mm\n1,x,here,mm,3' }),
    );
    expect(refused).toMatchObject({ status: 422, code: 'indicationTableInvalid' });
    expect(refused.detail).toContain('Row 2, position');
  });

  it('is the same read twice, and dated by its newest record or entry', async () => {
    const { review, enter } = await welded();
    const first = await review();
    expect(await review()).toEqual(first);
    expect(first.sealedAt).toBe(
      first.passes
        .map(({ message }) => message.endUtc)
        .toSorted()
        .at(-1),
    );
    const entry = await enter(scan());
    expect((await review()).sealedAt).toBe(entry.at);
  });
});

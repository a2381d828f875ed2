/** A day's joints over HTTP: one archive as it is made, and the jobs that make large ones. */
import { createHash } from 'node:crypto';
import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { exportSetSchema } from '#core/messages/api-export';
import { EXPORT_ROUTES } from '../../dashboard/server/export/export-routes.ts';
import { answer, problem } from '../support/http-answers.ts';
import { readZip } from '../support/read-zip.ts';
import { startTestDashboard } from '../support/test-dashboard.ts';
import { START_MS, seal, testBody, testPass } from '../support/test-records.ts';
import { waitUntil } from '../support/wait-until.ts';
import { addWelded } from '../support/welded-joint.ts';

const sha256 = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex');

async function bytesOf(response: Response): Promise<Buffer> {
  const bytes = Buffer.from(await response.arrayBuffer());
  expect(response.status, bytes.toString('utf8').slice(0, 300)).toBe(200);
  return bytes;
}

describe('a day', () => {
  async function twoJoints() {
    const dashboard = await startTestDashboard();
    const options = { lengthMm: 30 };
    await addWelded(dashboard, 'J-1', { ...options, stream: '1'.repeat(32) });
    await addWelded(dashboard, 'j-1', { ...options, stream: '2'.repeat(32), rig: 'rig-b' });
    await addWelded(dashboard, 'J-2', { ...options, stream: '3'.repeat(32), startMs: START_MS + 86_400_000 });
    return dashboard;
  }

  it('is sent as one archive: a folder a joint, two that differ in capitals apart, tables over all', async () => {
    const { get } = await twoJoints();
    const response = await get('/api/v1/exports/day?date=2026-05-12');
    expect(response.headers.get('content-disposition')).toBe('attachment; filename="joints-2026-05-12.zip"');
    const files = readZip(await bytesOf(response));
    const folders = new Set(
      files.filter(({ name }) => name.includes('/')).map(({ name }) => name.split('/')[0]),
    );
    expect([...folders].map(name => name!.toLowerCase())).toEqual(['j-1', 'j-1-2']);
    const set = exportSetSchema.parse(JSON.parse(files.at(-1)!.content.toString('utf8')));
    expect(set.joints.map(({ joint }) => joint)).toEqual(['J-1', 'j-1']);
    for (const { folder, manifestSha256 } of set.joints) {
      expect(sha256(files.find(({ name }) => name === `${folder}/manifest.json`)!.content)).toBe(
        manifestSha256,
      );
    }
    const passes = parse(files.find(({ name }) => name === 'passes.csv')!.content, {
      columns: true,
    }) as object[];
    expect(passes).toHaveLength(4);
  });

  it('is made as a job: how far it has come, its file, and one at a time', async () => {
    const { get, post } = await twoJoints();
    const begun = await answer(
      EXPORT_ROUTES.addExport,
      await post('/api/v1/exports', { date: '2026-05-12' }),
    );
    expect(begun).toMatchObject({
      state: 'running',
      total: 2,
      file: 'joints-2026-05-12.zip',
      origin: 'simulated',
    });
    expect(await problem(await post('/api/v1/exports', { joints: ['J-2'] }))).toMatchObject({
      status: 409,
      code: 'exportBusy',
    });
    expect(await problem(await get(`/api/v1/exports/${begun.id}/file`))).toMatchObject({
      code: 'exportNotDone',
    });
    const read = async () => await answer(EXPORT_ROUTES.export, await get(`/api/v1/exports/${begun.id}`));
    const done = await waitUntil(
      async () => {
        const job = await read();
        return job.state === 'running' ? null : job;
      },
      () => 'the export to be made',
    );
    expect(done).toMatchObject({ state: 'done', done: 2, problem: null });
    const file = await get(`/api/v1/exports/${begun.id}/file`);
    expect(file.headers.get('content-disposition')).toBe('attachment; filename="joints-2026-05-12.zip"');
    const bytes = await bytesOf(file);
    expect(bytes.length).toBe(done.bytes);
    // The same as it is sent without a job.
    expect(sha256(await bytesOf(await get('/api/v1/exports/day?date=2026-05-12')))).toBe(sha256(bytes));
    expect((await answer(EXPORT_ROUTES.exports, await get('/api/v1/exports'))).exports).toEqual([done]);
  });

  it('is cancelled when asked, and nothing of it is kept', async () => {
    const { get, post } = await twoJoints();
    const { id } = await answer(
      EXPORT_ROUTES.addExport,
      await post('/api/v1/exports', { joints: ['J-1', 'J-2'] }),
    );
    const cancelled = await answer(
      EXPORT_ROUTES.cancelExport,
      await post(`/api/v1/exports/${id}/cancel`, {}),
    );
    expect(cancelled).toMatchObject({ state: 'cancelled', keptUntil: null });
    expect(await problem(await get(`/api/v1/exports/${id}/file`))).toMatchObject({ code: 'exportNotDone' });
    // Another may begin at once.
    await answer(EXPORT_ROUTES.addExport, await post('/api/v1/exports', { joints: ['J-2'] }));
  });

  it('without a pass, of both kinds or of none, or unknown is refused', async () => {
    const dashboard = await twoJoints();
    const { get, post } = dashboard;
    const real = testPass(1, { origin: 'real', rig: 'rig-c', passId: 'real:1', joint: 'J-REAL' });
    const body = testBody({ origin: 'real', rig: 'rig-c', passes: [real] });
    const record = seal(JSON.stringify(body), 1, undefined, undefined, 'real');
    dashboard.receive('girthlog/1/spread-1/rig-c/record', record);
    await dashboard.settle();
    const refused = async (body: object) => (await problem(await post('/api/v1/exports', body))).code;
    expect(await refused({ date: '2026-01-01' })).toBe('dayEmpty');
    expect(await refused({ date: '2026-05-12', origin: 'replay' })).toBe('dayEmpty');
    expect(await refused({ joints: ['J-9'] })).toBe('jointUnknown');
    expect(await refused({ joints: ['J-1', 'J-REAL'] })).toBe('originMixed');
    expect(await refused({})).toBe('bodyInvalid');
    expect(await refused({ date: '2026-05-12', joints: ['J-1'] })).toBe('bodyInvalid');
    expect((await problem(await get('/api/v1/exports/none'))).code).toBe('exportUnknown');
    expect((await problem(await get('/api/v1/exports/..%2f..%2fetc/file'))).code).toBe('exportUnknown');
  });
});

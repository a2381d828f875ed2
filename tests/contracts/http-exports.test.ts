/** Exports over HTTP: tables, the archive and the report of a joint. A day: http-exports-day.test.ts. */
import { createHash } from 'node:crypto';
import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { exportManifestSchema, jointExportSchema, passSamplesExportSchema } from '#core/messages/api-export';
import { checkJointRecord } from '../../dashboard/server/verify/check-joint-record.ts';
import { Tally } from '../../dashboard/server/verify/tally.ts';
import { columnMapSchema } from '../../edge/replay/column-map.ts';
import { problem } from '../support/http-answers.ts';
import { readZip } from '../support/read-zip.ts';
import { startTestDashboard, type TestDashboard } from '../support/test-dashboard.ts';
import { testPass } from '../support/test-records.ts';
import { addWelded, WELDED_STREAM } from '../support/welded-joint.ts';

const sha256 = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex');
const path = (joint: string, what: string): string => `/api/v1/joints/${encodeURIComponent(joint)}/${what}`;

async function welded(joint = 'J-0042') {
  const dashboard = await startTestDashboard();
  const messages = await addWelded(dashboard, joint);
  return { ...dashboard, messages };
}

async function bytesOf(response: Response): Promise<Buffer> {
  const bytes = Buffer.from(await response.arrayBuffer());
  expect(response.status, bytes.toString('utf8').slice(0, 300)).toBe(200);
  return bytes;
}

async function table(dashboard: TestDashboard, url: string): Promise<Record<string, string>[]> {
  const response = await dashboard.get(url);
  const text = (await bytesOf(response)).toString('utf8');
  expect(response.headers.get('content-type')).toBe('text/csv; charset=utf-8');
  const [header] = text.split('\r\n');
  // RFC 4180: CRLF after every line; every name says what it is in small letters.
  expect(text.endsWith('\r\n')).toBe(true);
  for (const name of header!.split(',')) expect(name).toMatch(/^[a-z][a-z0-9_]*$/);
  return parse(text, { columns: true });
}

describe('the archive of a joint', () => {
  it('holds report, data, record, procedure, tables and samples, each as the manifest has it', async () => {
    const dashboard = await welded();
    const response = await dashboard.get(path('J-0042', 'export.zip?paper=a4,letter&zone=Europe/Berlin'));
    expect(response.headers.get('content-type')).toBe('application/zip');
    expect(response.headers.get('content-disposition')).toBe('attachment; filename="J-0042.zip"');
    const files = readZip(await bytesOf(response));
    const names = files.map(({ name }) => name);
    expect(names).toEqual([
      'J-0042/README.txt',
      'J-0042/report-a4.pdf',
      'J-0042/report-letter.pdf',
      'J-0042/joint.json',
      'J-0042/record.json',
      'J-0042/procedures/example-610-rev1.json',
      'J-0042/passes.csv',
      'J-0042/deviations.csv',
      'J-0042/windows.csv',
      'J-0042/events.csv',
      'J-0042/passes/01-B-root/pass.json',
      'J-0042/passes/01-B-root/samples.csv',
      'J-0042/passes/01-B-root/MAP.json',
      'J-0042/passes/02-B-fill-1/pass.json',
      'J-0042/passes/02-B-fill-1/samples.csv',
      'J-0042/passes/02-B-fill-1/MAP.json',
      'J-0042/manifest.json',
    ]);
    const content = (name: string): Buffer => files.find(file => file.name === `J-0042/${name}`)!.content;
    const json = (name: string): unknown => JSON.parse(content(name).toString('utf8'));
    const manifest = exportManifestSchema.parse(json('manifest.json'));
    expect(manifest.files.map(({ name }) => `J-0042/${name}`)).toEqual(names.slice(0, -1));
    for (const { name, bytes, sha256: hash } of manifest.files) {
      expect([name, content(name).length, sha256(content(name))]).toEqual([name, bytes, hash]);
    }
    expect(jointExportSchema.parse(json('joint.json'))).toMatchObject({
      zone: 'Europe/Berlin',
      review: { joint: 'J-0042', passes: [{ work: { pass: 'root' } }, { work: { pass: 'fill 1' } }] },
    });
    expect(columnMapSchema.parse(json('passes/01-B-root/MAP.json')).assignment?.pass).toBe('root');
    expect(
      checkJointRecord(json('record.json'), new Set([dashboard.store.key.fingerprint]), new Tally()),
    ).not.toHaveProperty('part');
    expect(content('report-a4.pdf').subarray(0, 5).toString()).toBe('%PDF-');
    // A4 is 210 × 297 mm, Letter 8.5 × 11 in; in points.
    expect(content('report-a4.pdf').toString('latin1')).toMatch(/MediaBox \[0 0 595\.28 841\.89\]/);
    expect(content('report-letter.pdf').toString('latin1')).toMatch(/MediaBox \[0 0 612 792\]/);
  });

  it('is the same bytes twice, dated when the joint was last recorded or entered', async () => {
    const dashboard = await welded();
    const url = path('J-0042', 'export.zip');
    const one = await bytesOf(await dashboard.get(url));
    const two = await bytesOf(await dashboard.get(url));
    expect(sha256(two)).toBe(sha256(one));
    const at = dashboard.messages.at(-1)!.endUtc;
    for (const { changedMs, shownAs } of readZip(one)) {
      expect(changedMs).toBe(Math.floor(Date.parse(at) / 1000) * 1000);
      // Two seconds is as fine as a zip shows it.
      expect(shownAs.slice(0, 18)).toBe(at.slice(0, 19).replace('T', ' ').slice(0, 18));
    }
  });

  // More names: unit/server/file-name.test.ts.
  it.each(['../../etc/passwd', 'a"\r\nSet-Cookie: x=1', 'Ünïcode №7'])(
    'of joint %j leads nowhere else and breaks no header',
    async joint => {
      const dashboard = await startTestDashboard();
      await addWelded(dashboard, joint, { lengthMm: 30 });
      const response = await dashboard.get(path(joint.trim(), 'export.zip'));
      const files = readZip(await bytesOf(response));
      expect(response.headers.get('content-disposition')).toMatch(
        /^attachment; filename="[A-Za-z0-9][A-Za-z0-9._-]*\.zip"$/,
      );
      expect(response.headers.get('set-cookie')).toBeNull();
      const folders = new Set(files.map(({ name }) => name.split('/')[0]!));
      expect(folders.size).toBe(1);
      for (const { name } of files) {
        expect(name).toMatch(/^[A-Za-z0-9][A-Za-z0-9._/-]*$/);
        for (const part of name.split('/')) expect(part).not.toMatch(/^\.|\.$|^(con|nul|aux|prn)(\.|$)/i);
      }
      const manifest = files.at(-1)!;
      expect(JSON.parse(manifest.content.toString('utf8'))).toMatchObject({ joint: joint.trim() });
    },
  );

  it('of a joint nobody knows, or in a zone that is none, is refused', async () => {
    const { get } = await welded();
    expect(await problem(await get(path('J-9', 'export.zip')))).toMatchObject({
      status: 404,
      code: 'jointUnknown',
    });
    for (const query of ['zone=Mars/Base', 'paper=a3', 'paper=', 'zone=%2B02:00']) {
      expect(await problem(await get(path('J-0042', `export.zip?${query}`)))).toMatchObject({
        code: 'queryInvalid',
      });
    }
  });
});

describe('the report', () => {
  it('is a PDF of the size asked for, the same bytes twice', async () => {
    const { get } = await welded();
    const one = await get(path('J-0042', 'report.pdf?paper=letter'));
    expect(one.headers.get('content-type')).toBe('application/pdf');
    expect(one.headers.get('content-disposition')).toBe('attachment; filename="J-0042-report.pdf"');
    const bytes = await bytesOf(one);
    expect(bytes.toString('latin1')).toMatch(/MediaBox \[0 0 612 792\]/);
    expect(sha256(await bytesOf(await get(path('J-0042', 'report.pdf?paper=letter'))))).toBe(sha256(bytes));
  });
});

describe('tables', () => {
  it('of samples: as recorded, travel as reported and at the weld, local times, ten seconds around', async () => {
    const dashboard = await welded();
    const [root] = dashboard.messages;
    const rows = await table(dashboard, `/api/v1/passes/${root!.passId}/samples.csv?zone=Asia/Kathmandu`);
    const inArc = rows.find(row => Number(row['t_s']) > 2)!;
    expect(inArc['time_utc']).toMatch(/^2026-05-12T08:00:\d\d\.\d{3}Z$/);
    expect(Date.parse(inArc['time_local']!)).toBe(Date.parse(inArc['time_utc']!));
    expect(inArc['time_local']).toMatch(/T13:45:\d\d\.\d{3}\+05:45$/);
    expect(Number(inArc['sample_length_s'])).toBe(0.02);
    expect(inArc['quality']).toBe('ok');
    const ratio = Number(inArc['travel_speed_weld_mm_s']) / Number(inArc['travel_speed_mm_s']);
    // 610 mm pipe, read at 325 mm.
    expect(ratio).toBeCloseTo(305 / 325, 6);
    const times = rows.map(row => Number(row['t_s']));
    expect(Math.min(...times)).toBeLessThan(0);
    expect(Math.max(...times)).toBeLessThanOrEqual((root!.endUs - root!.startUs) / 1e6 + 10);
    expect(new Set(rows.map(row => row['pass']))).toEqual(new Set(['pass 1']));
    // No channel was there for it: no column, and nothing made up.
    expect(Object.keys(inArc)).not.toContain('temperature_cel');
  });

  it('of samples as JSON have the same columns and values', async () => {
    const dashboard = await welded();
    const { passId } = dashboard.messages[0]!;
    const rows = await table(dashboard, `/api/v1/passes/${passId}/samples.csv`);
    const response = await dashboard.get(`/api/v1/passes/${passId}/samples.json`);
    const json = passSamplesExportSchema.parse(JSON.parse((await bytesOf(response)).toString('utf8')));
    expect(json.columns.map(({ name }) => name)).toEqual(Object.keys(rows[0]!));
    expect(json.rows.map(row => row.map(cell => (cell === null ? '' : String(cell))))).toEqual(
      rows.map(row => Object.values(row)),
    );
  });

  it('of windows, passes, deviations and events name the pass and its place', async () => {
    const dashboard = await welded('=1+1');
    const get = (what: string) => table(dashboard, path('=1+1', what));
    const passes = await get('passes.csv');
    expect(passes.map(row => [row['joint'], row['side'], row['pass'], row['quality']])).toEqual([
      ["'=1+1", 'B', 'root', 'ok'],
      ["'=1+1", 'B', 'fill 1', 'ok'],
    ]);
    const { pass } = dashboard.messages[1]!;
    expect(Number(passes[1]!['heat_input_kj_mm'])).toBeCloseTo(pass.heatInputKjMm!, 6);
    expect(passes[1]!['verdicts_out']).toContain('weldingCurrent (window)');
    // Not measured is empty, and not 0.
    expect(passes[1]!['clock_offset_ms']).toBe('');
    expect(passes[1]!['restarts']).toBe('0');
    const windows = await get('windows.csv');
    const ofFill = windows.filter(row => row['pass'] === 'fill 1');
    expect(ofFill.length).toBeGreaterThan(1);
    expect(Number(ofFill[0]!['to_mm']) - Number(ofFill[0]!['from_mm'])).toBeGreaterThan(20);
    expect(ofFill.some(row => row['out_of_limit']!.includes('weldingCurrent'))).toBe(true);
    const found = await get('deviations.csv');
    const deviation = found.find(row => row['kind'] === 'deviation' && row['pass'] === 'fill 1')!;
    const recorded = dashboard.messages[1]!.deviations[0]!;
    const { quantity, unit } = recorded;
    expect(deviation).toMatchObject({ quantity, unit, rule: '' });
    expect(Number(deviation['t_s'])).toBeCloseTo(recorded.fromS - pass.startS, 5);
    expect(await get('events.csv')).toEqual([]);
  });

  it('of a day are those of passes that began on it, where the clock says so', async () => {
    const dashboard = await welded();
    const day = (query: string) => table(dashboard, `/api/v1/exports/passes.csv?${query}`);
    expect(await day('date=2026-05-12')).toHaveLength(2);
    // 08:00 UTC is 22:00 of the day before in Honolulu.
    expect(await day('date=2026-05-11&zone=Pacific/Honolulu')).toHaveLength(2);
    expect(
      await problem(await dashboard.get('/api/v1/exports/passes.csv?date=2026-05-12&zone=Pacific/Honolulu')),
    ).toMatchObject({ status: 404, code: 'dayEmpty' });
    expect(await problem(await dashboard.get('/api/v1/exports/passes.csv?date=2026-02-30'))).toMatchObject({
      code: 'queryInvalid',
    });
  });

  it('of a pass without samples have a header and no rows', async () => {
    const dashboard = await startTestDashboard();
    const pass = testPass(1, { stream: WELDED_STREAM, passId: `${WELDED_STREAM}:1` });
    dashboard.store.commitRecords(
      [
        {
          site: pass.site,
          rig: pass.rig,
          message: {
            origin: 'simulated',
            stream: WELDED_STREAM,
            seq: 1,
            prev: '0'.repeat(64),
            hash: '1'.repeat(64),
            historical: false,
            body: '{}',
          },
          body: {
            schema: 'girthlog.record/1',
            origin: 'simulated',
            site: pass.site,
            rig: pass.rig,
            at: pass.endUtc,
            clock: pass.clock,
            utcMinusRecordMs: 0,
            samples: null,
            events: [],
            passes: [pass],
          },
          samples: null,
          unreadable: null,
        },
      ],
      pass.endUtc,
    );
    expect(await table(dashboard, `/api/v1/passes/${pass.passId}/samples.csv`)).toEqual([]);
    const [row] = await table(dashboard, path('J-0001', 'passes.csv'));
    expect(row).toMatchObject({ quality: 'no_samples' });
    const files = readZip(await bytesOf(await dashboard.get(path('J-0001', 'export.zip'))));
    expect(files.map(({ name }) => name).filter(name => name.includes('/passes/'))).toHaveLength(1);
    expect(await problem(await dashboard.get(`/api/v1/passes/${pass.passId}/replay-map.json`))).toMatchObject(
      {
        code: 'samplesMissing',
      },
    );
    expect(await problem(await dashboard.get('/api/v1/passes/none/samples.csv'))).toMatchObject({
      code: 'passUnknown',
    });
  });
});

/** `girthlog-dashboard export` as a person or a script runs it, and exports of the running dashboard by a process of its own. */
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { ExportJob, ExportManifest } from '#core/messages/api-export';
import { infoSchema } from '#core/messages/info';
import type { PassMessage } from '#core/messages/pass';
import type { ReplayDocument } from '../../edge/replay/replay.ts';
import { startDashboard } from '../support/dashboard-program.ts';
import { mqttClient } from '../support/mqtt-client.ts';
import { startProgram } from '../support/programs.ts';
import { readZip } from '../support/read-zip.ts';
import { tempDir } from '../support/temp-dir.ts';
import { START_MS } from '../support/test-records.ts';
import { waitUntil } from '../support/wait-until.ts';
import { weldedInfo, weldedStore } from '../support/welded-joint.ts';

const sha256 = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex');

async function run(program: string, ...args: string[]) {
  const started = startProgram(program, args);
  const code = await started.exited;
  return { code, stdout: started.stdout(), stderr: started.stderr() };
}

const exported = (...args: string[]) => run('girthlog-dashboard', 'export', ...args);

/** Nothing but how far it is, which is said every ten seconds. */
const ONLY_PROGRESS = /^(Exporting \d+ %\n)*$/;

/** Exports give way to everything else: on a busy machine one that takes a second may take a minute. */
const POLITE_MS = 100_000;

function twoDays(): string {
  return weldedStore([
    { joint: 'J-1', options: { stream: '1'.repeat(32), lengthMm: 40 } },
    { joint: 'J-2', options: { stream: '2'.repeat(32), lengthMm: 40, rig: 'rig-b' } },
    { joint: 'J-3', options: { stream: '3'.repeat(32), lengthMm: 40, startMs: START_MS + 86_400_000 } },
  ]);
}

describe('export', () => {
  it('writes one joint into a folder, the same bytes again, and replay finds in it what was recorded', async () => {
    const data = twoDays();
    const into = join(tempDir(), 'made', 'here');
    const one = await exported('--joint', 'J-1', '--into', into, '--data', data, '--json');
    expect(one).toMatchObject({ code: 0, stderr: expect.stringMatching(ONLY_PROGRESS) });
    const said = JSON.parse(one.stdout) as { file: string; bytes: number; sha256: string };
    const bytes = readFileSync(said.file);
    expect(said).toEqual({
      ...{ file: join(into, 'J-1.zip'), bytes: bytes.length, sha256: sha256(bytes) },
      ...{ origin: 'simulated', joints: ['J-1'] },
    });
    expect(readdirSync(into)).toEqual(['J-1.zip']);
    const again = await exported('--joint', 'J-1', '--into', tempDir(), '--data', data, '--json');
    expect((JSON.parse(again.stdout) as { sha256: string }).sha256).toBe(said.sha256);

    const files = new Map(readZip(bytes).map(({ name, content }) => [name, content]));
    const manifest = JSON.parse(files.get('J-1/manifest.json')!.toString('utf8')) as ExportManifest;
    for (const { name, sha256: hash } of manifest.files) expect(sha256(files.get(`J-1/${name}`)!)).toBe(hash);
    // By the programs alone, with nothing but the files.
    const folder = tempDir();
    const pick = (name: string): string => {
      const path = join(folder, name.replaceAll('/', '_'));
      writeFileSync(path, files.get(`J-1/${name}`)!);
      return path;
    };
    const pass = 'passes/02-B-fill-1';
    const replayed = await run(
      'girthlog-edge',
      ...['replay', pick(`${pass}/samples.csv`), '--columns', pick(`${pass}/MAP.json`)],
      ...['--procedure', pick('procedures/example-610-rev1.json'), '--json'],
    );
    expect(replayed).toMatchObject({ code: 0, stderr: '' });
    const document = JSON.parse(replayed.stdout) as ReplayDocument;
    const message = JSON.parse(files.get(`J-1/${pass}/pass.json`)!.toString('utf8')) as PassMessage;
    expect(document.passes).toHaveLength(1);
    const [again2] = document.passes;
    for (const name of [
      'arcTimeS',
      'arcEnergyKj',
      'heatInputKjMm',
      'runOutLengthMm',
      'meanTravelMmS',
    ] as const) {
      expect(again2![name], name).toBeCloseTo(message.pass[name]!, 9);
    }
    expect(again2!.verdicts.map(({ quantity, state }) => [quantity, state])).toEqual(
      message.pass.verdicts.map(({ quantity, state }) => [quantity, state]),
    );
    const verified = await run('girthlog-dashboard', 'verify', '--file', pick('record.json'), '--data', data);
    expect(verified.stdout).toMatch(/^Everything fits: /);
  });

  it('writes the joints of a local day, and says so in a sentence', async () => {
    const data = twoDays();
    const into = tempDir();
    const day = ['--day', '2026-05-12', '--zone', 'Europe/Berlin', '--into', into, '--data', data] as const;
    const made = await exported(...day);
    expect(made).toMatchObject({ code: 0, stderr: expect.stringMatching(ONLY_PROGRESS) });
    expect(made.stdout).toMatch(/joints-2026-05-12\.zip: 2 joints \(simulated\), \d+\.\d MB\.\n$/);
    const files = readZip(readFileSync(join(into, 'joints-2026-05-12.zip')));
    const folders = new Set(files.flatMap(({ name }) => (name.includes('/') ? [name.split('/')[0]] : [])));
    expect([...folders]).toEqual(['J-1', 'J-2']);
    // What is there is not overwritten.
    expect(await exported(...day)).toMatchObject({
      code: 3,
      stdout: '',
      stderr: expect.stringMatching(/exists already and is not overwritten/),
    });
  });

  it('says in one sentence what it cannot do', async () => {
    const data = twoDays();
    const into = tempDir();
    const cases: readonly (readonly [string[], number, RegExp])[] = [
      [
        ['--joint', 'J-9', '--into', into, '--data', data],
        4,
        /Nothing is entered or recorded of joint J-9\./,
      ],
      [
        ['--day', '2026-01-01', '--into', into, '--data', data],
        4,
        /No pass of any joint began on 2026-01-01/,
      ],
      [['--into', into, '--data', data], 2, /Say --joint NUMBER or --day DATE\./],
      [['--joint', 'J-1', '--data', data], 2, /--into FOLDER/],
      [['--joint', 'J-1', '--into', into, '--zone', 'Mars'], 2, /--zone Mars/],
      [['--day', '2026-02-30', '--into', into], 2, /--day 2026-02-30/],
      [['--joint', 'J-1', '--into', into, '--paper', 'a3'], 2, /there are a4 and letter/],
      [['--joint', 'J-1', '--into', into, '--data', join(tempDir(), 'none')], 3, /There is no store in/],
      [['--joint', 'J-1', '--into', '/dev/null/x', '--data', data], 3, /Cannot write in \/dev\/null\/x/],
    ];
    for (const [args, code, sentence] of cases) {
      const answer = await exported(...args);
      expect([args, answer.code]).toEqual([args, code]);
      expect(answer.stdout).toBe('');
      expect(answer.stderr).toMatch(sentence);
      expect(answer.stderr.trimEnd().split('\n')).toHaveLength(1);
    }
    expect(readdirSync(into)).toEqual([]);
  });

  it('changes nothing in the store it reads', async () => {
    const data = twoDays();
    const file = join(data, 'dashboard.sqlite3');
    const before = readFileSync(file);
    await exported('--joint', 'J-1', '--into', tempDir(), '--data', data);
    expect(readFileSync(file).equals(before)).toBe(true);
  });
});

describe('the running dashboard', () => {
  it('sends the same archive as the command writes, and makes those of a day as a job that can be cancelled', async () => {
    const data = twoDays();
    const into = tempDir();
    const { stdout } = await exported('--joint', 'J-2', '--into', into, '--data', data, '--json');
    const written = JSON.parse(stdout) as { sha256: string; origin: string };
    expect(written.origin).toBe('simulated');
    const dashboard = await startDashboard({ data });
    const response = await fetch(`${dashboard.http}/api/v1/joints/J-2/export.zip`);
    expect(response.status).toBe(200);
    expect(sha256(Buffer.from(await response.arrayBuffer()))).toBe(written.sha256);
    const wanted = { date: '2026-05-12', zone: 'Europe/Berlin' };
    const first = await dashboard.post<ExportJob>('/api/v1/exports', wanted);
    const cancelled = await dashboard.post<ExportJob>(`/api/v1/exports/${first.id}/cancel`, {});
    expect(cancelled.state).toBe('cancelled');
    const second = await dashboard.post<ExportJob>('/api/v1/exports', wanted);
    const done = await waitUntil(
      async () => {
        const job = await dashboard.json<ExportJob>(`/api/v1/exports/${second.id}`);
        return job.state === 'running' ? null : job;
      },
      () => `the export to be made; the dashboard says: ${dashboard.stderr()}`,
      POLITE_MS,
    );
    expect(done).toMatchObject({ state: 'done', done: 2, total: 2, problem: null });
    const file = await fetch(`${dashboard.http}/api/v1/exports/${second.id}/file`);
    const bytes = Buffer.from(await file.arrayBuffer());
    expect(bytes.length).toBe(done.bytes);
    const day = await fetch(`${dashboard.http}/api/v1/exports/day?date=2026-05-12&zone=Europe/Berlin`);
    expect(sha256(Buffer.from(await day.arrayBuffer()))).toBe(sha256(bytes));
    expect(await dashboard.counter('exportMade')).toBe(1);
    // A reader that goes away ends what is made for it: the two that may be sent at one time are free again.
    const url = `${dashboard.http}/api/v1/joints/J-1/export.zip`;
    for (let i = 0; i < 2; i++) {
      const abort = new AbortController();
      const left = await fetch(url, { signal: abort.signal });
      abort.abort();
      await left.arrayBuffer().catch(() => undefined);
    }
    await waitUntil(
      async () => {
        const next = await fetch(url);
        await next.arrayBuffer();
        return next.status === 200 ? true : null;
      },
      () => 'a place to be free',
      POLITE_MS,
    );
  }, 400_000);

  it('keeps what rigs say of themselves for exports, also when it has ended', async () => {
    const dashboard = await startDashboard();
    const client = await mqttClient(dashboard.mqtt);
    await client.publish('girthlog/1/spread-1/rig-a/info', weldedInfo('rig-a'));
    const file = join(dashboard.data, 'rig-info.json');
    const kept = await waitUntil(
      () => {
        try {
          return infoSchema.array().parse(JSON.parse(readFileSync(file, 'utf8')));
        } catch {
          return null;
        }
      },
      () => 'the file with what rigs say',
    );
    expect(kept).toEqual([weldedInfo('rig-a')]);
  });
});

/** The replay command as anyone calls it: files in, one JSON document or one sentence out. Invented recordings. */
import { execFile } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterAll, describe, expect, test } from 'vitest';
import { passSchema } from '#core/messages/pass';
import type { ReplayDocument } from '../../edge/replay/replay.ts';
import { DIST } from '../support/programs.ts';
import { CSV_MAP, recordingFile } from '../support/recording-file.ts';

const program = join(DIST, 'girthlog-edge.js');

async function command(...args: string[]): Promise<{ code: number; stdout: string; stderr: string }> {
  try {
    const { stdout, stderr } = await promisify(execFile)(process.execPath, [program, 'replay', ...args]);
    return { code: 0, stdout, stderr };
  } catch (error) {
    const { code, stdout, stderr } = error as { code: number; stdout: string; stderr: string };
    return { code, stdout, stderr };
  }
}

const arc = (from: number, to: number, periodS = 0.01): string[] =>
  Array.from(
    { length: Math.round((to - from) / periodS) },
    (_, i) => `${from + i * periodS},${236 + (i % 7)},${24 + (i % 3) / 10}`,
  );

describe('the command', () => {
  const folder = mkdtempSync(join(tmpdir(), 'girthlog-replay-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  const good = recordingFile(['t,I,U', ...arc(0, 5)].join('\n'), 'good.csv', folder);
  const map = recordingFile(JSON.stringify(CSV_MAP), 'map.json', folder);

  test('--json prints one document on stdout, nothing on stderr, and exits 0', async () => {
    const { code, stdout, stderr } = await command(good, '--columns', map, '--json');
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
    const document = JSON.parse(stdout) as ReplayDocument;
    expect(document.schema).toBe('girthlog.replay/1');
    expect(document.passes.map(pass => passSchema.parse(pass).procedurePass)).toEqual([null]);
    expect(document.passes[0]!.reasons.map(reason => reason.code)).toContain('noAssignment');
  });

  test('without --json a table; rows but no arc exit 0 with no passes', async () => {
    expect((await command(good, '--columns', map)).stdout).toContain('run-out mm');
    const quiet = recordingFile('t,I,U\n0,1,2\n0.01,1,2\n');
    const { code, stdout } = await command(quiet, '--columns', map, '--json');
    expect(code).toBe(0);
    expect(JSON.parse(stdout)).toMatchObject({ passes: [], deviations: [] });
  });

  test.each([
    ['a missing file', () => ['/nowhere.csv', '--columns', map], 3, '/nowhere.csv'],
    ['a missing map', () => [good, '--columns', '/nowhere.json'], 3, '/nowhere.json'],
    ['a map that is not JSON', () => [good, '--columns', recordingFile('{')], 3, 'not JSON'],
    [
      'an unknown key',
      () => [good, '--columns', recordingFile(JSON.stringify({ ...CSV_MAP, colour: 1 }))],
      3,
      '"colour"',
    ],
    [
      'an unknown unit',
      () => [
        good,
        '--columns',
        recordingFile(JSON.stringify({ ...CSV_MAP, arcVoltage: { column: 'U', unit: 'volt' } })),
      ],
      3,
      'arcVoltage.unit',
    ],
    [
      'a column that is not there',
      () => [
        good,
        '--columns',
        recordingFile(JSON.stringify({ ...CSV_MAP, arcVoltage: { column: 'W', unit: 'V' } })),
      ],
      3,
      'no column "W"',
    ],
    [
      '50 late rows in a row',
      () => [recordingFile(['t,I,U', '100,1,1', ...arc(0, 0.6)].join('\n')), '--columns', map],
      3,
      'line 52',
    ],
    [
      'no usable row',
      () => [recordingFile('t,I,U\nx,y,z\n'), '--columns', map],
      4,
      'line 2, time (column t) is "x"',
    ],
    [
      'a procedure that is not one',
      () => [good, '--columns', map, '--procedure', recordingFile('{"schema":"x"}')],
      3,
      'schema',
    ],
  ])('%s: one line on stderr and its exit code', async (_, args, exitCode, words) => {
    const { code, stdout, stderr } = await command(...args());
    expect(code).toBe(exitCode);
    expect(stdout).toBe('');
    expect(stderr.trim().split('\n')).toHaveLength(1);
    expect(stderr).toContain(words);
  });

  test('the only pass of a procedure is judged; of several, the one named', async () => {
    const limits = [{ quantity: 'weldingCurrent', unit: 'A', basis: 'pass', min: 250, max: 300 }];
    const passes = ['root', 'hot'].map(name => ({ name, type: name, limits }));
    const base = { schema: 'girthlog.procedure/1', id: 'p', revision: 1, title: 'P' };
    const one = recordingFile(JSON.stringify({ ...base, passes: passes.slice(0, 1) }));
    const two = recordingFile(JSON.stringify({ ...base, passes }));
    const judged = async (...extra: string[]): Promise<ReplayDocument> =>
      JSON.parse((await command(good, '--columns', map, '--json', ...extra)).stdout);
    expect((await judged('--procedure', one)).deviations).toMatchObject([
      { passIndex: 1, quantity: 'weldingCurrent', state: 'out' },
    ]);
    expect((await judged('--procedure', two)).passes[0]!.procedurePass).toBeNull();
    expect((await judged('--procedure', two, '--pass', 'hot')).passes[0]!.procedurePass).toBe('hot');
    expect((await command(good, '--columns', map, '--procedure', two, '--pass', 'cap')).code).toBe(3);
  });
});

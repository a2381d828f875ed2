/** `girthlog-dashboard verify` as a person or a script runs it: exit codes, one sentence, beside a running dashboard. */
import { execFileSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { DashboardKeys } from '#core/messages/api-disposition';
import type { VerifyReport } from '#core/messages/api-verify';
import { openDatabase } from '../../edge/outbox/outbox-database.ts';
import { prepareStatements } from '../../edge/outbox/statements.ts';
import { startDashboard } from '../support/dashboard-program.ts';
import { mqttClient } from '../support/mqtt-client.ts';
import { startProgram } from '../support/programs.ts';
import { sealedDay, sealedStore } from '../support/sealed-store.ts';
import { tempDir } from '../support/temp-dir.ts';
import { STREAM } from '../support/test-records.ts';
import { waitUntil } from '../support/wait-until.ts';

async function verify(...args: string[]) {
  const program = startProgram('girthlog-dashboard', ['verify', ...args]);
  const code = await program.exited;
  return { code, stdout: program.stdout(), stderr: program.stderr() };
}

describe('verify', () => {
  it('of a store that fits ends with 0, of one that does not with 8 and the sentence', async () => {
    const store = await sealedStore();
    const good = await verify('--data', store.directory);
    expect(good).toMatchObject({ code: 0, stderr: '' });
    expect(good.stdout).toMatch(
      /^Everything fits: 12 records of 1 streams, 2 passes, 5 seals, 3 journal entries\.\n/,
    );
    store.tamper('DELETE FROM records WHERE seq = 7');
    const bad = await verify('--data', store.directory);
    expect(bad).toMatchObject({ code: 8, stderr: '' });
    expect(bad.stdout).toMatch(
      /^DOES NOT FIT: Record 7 of spread-1\/rig-a \(stream 01234567\) is missing: 8 is here\.\n/,
    );
    const json = await verify('--data', store.directory, '--json');
    expect(JSON.parse(json.stdout)).toMatchObject({ fits: false, problems: [{ part: 'record', seq: 7 }] });
    expect((await verify('--data', store.directory, '--joint', 'J-0001')).code).toBe(8);
  });

  it('changes nothing in the store it reads', async () => {
    const { directory } = await sealedStore();
    const file = join(directory, 'dashboard.sqlite3');
    const before = readFileSync(file);
    expect((await verify('--data', directory)).code).toBe(0);
    expect(readFileSync(file).equals(before)).toBe(true);
  });

  it('says in one sentence what it cannot do', async () => {
    const nowhere = await verify('--data', join(tempDir(), 'none'));
    expect(nowhere.code).toBe(3);
    expect(nowhere.stderr).toMatch(
      /^girthlog-dashboard: There is no store in .*: name its directory with --data\.\n$/,
    );
    const { directory } = await sealedStore();
    expect((await verify('--data', directory, '--joint', 'J-0999')).code).toBe(4);
    expect((await verify('--joint', 'J-1', '--file', 'x')).code).toBe(2);
    expect((await verify('--data', directory, '--trust', 'abc')).code).toBe(2);
    const damaged = tempDir();
    writeFileSync(
      join(damaged, 'dashboard.sqlite3'),
      'this is no database, and long enough to be looked at '.repeat(50),
    );
    const unreadable = await verify('--data', damaged);
    expect(unreadable.code).toBe(8);
    expect(unreadable.stderr).toMatch(/cannot be read \(SQLITE_NOTADB\): nothing in it can be checked\.\n$/);
  });

  it('of an edge ends with 0 or 8 too', async () => {
    const file = join(tempDir(), 'edge.db');
    const { db } = openDatabase(file, () => STREAM);
    const { insert } = prepareStatements(db);
    for (const { seq, prev, hash, body } of sealedDay()) insert.run(seq, STREAM, prev, hash, body, 1e9, 1e6);
    const edge = async () => {
      const program = startProgram('girthlog-edge', ['verify', '--store', file]);
      return { code: await program.exited, stdout: program.stdout() };
    };
    // Beside the edge that has it open.
    expect(await edge()).toMatchObject({
      code: 0,
      stdout: expect.stringMatching(/^Everything fits: 12 batches of stream 01234567, 5 seals\.\n/),
    });
    db.exec('DELETE FROM batch WHERE seq = 7');
    expect(await edge()).toMatchObject({
      code: 8,
      stdout: expect.stringMatching(/^DOES NOT FIT: The chain breaks: batch 7 is missing\.\n/),
    });
    db.close();
  });

  it('runs beside the dashboard; an exported record is checked alone, by a key, and as a witness of its store', async () => {
    const dashboard = await startDashboard();
    const edge = await mqttClient(dashboard.mqtt);
    for (const record of sealedDay()) await edge.publish('girthlog/1/spread-1/rig-a/record', record);
    await waitUntil(async () => (await dashboard.counter('recordStored')) === 12, 'the day to be stored');
    const { id } = await dashboard.post<{ id: string }>('/api/v1/people', {
      name: 'R. Example',
      roles: ['reviewer'],
    });
    const passphrase = 'seven brown kettles';
    await dashboard.post(`/api/v1/people/${id}/passphrase`, {
      author: id,
      authorPassphrase: null,
      passphrase,
    });
    await dashboard.post('/api/v1/joints/J-0001/dispositions', {
      ...{ author: id, passphrase, shiftDate: '2026-05-12', corrects: null },
      ...{ decision: 'hold', reason: 'engineering is asked' },
    });
    const text = await (await fetch(`${dashboard.http}/api/v1/joints/J-0001/record`)).text();
    const file = join(tempDir(), 'J-0001.json');
    writeFileSync(file, text);
    const { fingerprint } = (await dashboard.json<DashboardKeys>('/api/v1/keys')).dashboard;

    expect((await verify('--data', dashboard.data)).code).toBe(0);
    // The button of the about page asks for the same: the person and the disposition are entries.
    const kept = await dashboard.json<VerifyReport>('/api/v1/verification');
    expect(kept).toMatchObject({
      scope: 'store',
      fits: true,
      checked: { records: 12, passes: 2, entries: 2 },
    });
    const alone = await verify('--file', file, '--json');
    expect(alone.code).toBe(0);
    const report = JSON.parse(alone.stdout) as VerifyReport;
    expect(report).toMatchObject({
      scope: 'file',
      joint: 'J-0001',
      checked: { passes: 2, seals: 2, entries: 1 },
    });
    expect(report.notes.join(' ')).toMatch(/compare its fingerprint/);
    expect((await verify('--file', file)).stdout).toMatch(
      /^Everything fits: 2 passes, 2 seals, 1 journal entries\.\n/,
    );
    expect((await verify('--file', file, '--trust', fingerprint.replaceAll(/(....)/g, '$1 '))).code).toBe(0);
    expect((await verify('--file', file, '--trust', 'ab'.repeat(32))).code).toBe(8);
    expect((await verify('--file', file, '--data', dashboard.data)).code).toBe(0);

    // Nothing that was typed as a passphrase is in what the program said.
    expect(await dashboard.stop()).toBe(0);
    expect(dashboard.stdout() + dashboard.stderr()).not.toMatch(/kettles/);

    // The journal cut short leaves no trace in the store; the exported record is the witness.
    execFileSync('sh', [
      '-c',
      `node -e '
        const db = new (require("better-sqlite3"))(process.argv[1]);
        db.pragma("foreign_keys = OFF");
        db.exec("DROP TRIGGER journal_drops_nothing; DROP TRIGGER journal_signatures_drop_nothing");
        db.exec("DELETE FROM journal_signatures WHERE number = 2; DELETE FROM journal WHERE number = 2");
      ' "$1"`,
      'sh',
      join(dashboard.data, 'dashboard.sqlite3'),
    ]);
    expect((await verify('--data', dashboard.data)).code).toBe(0);
    const witness = await verify('--file', file, '--data', dashboard.data);
    expect(witness.code).toBe(8);
    expect(witness.stdout).toMatch(
      /^DOES NOT FIT: Journal entry 2, the newest when this record was signed on .*, is no longer in the store\.\n/,
    );
  });
});

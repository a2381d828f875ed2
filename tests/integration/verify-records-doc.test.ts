/** docs/verify-records.md: what a third party is told to run finds what it should, with nothing of this project. */
import { execFileSync, spawnSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ROUTES } from '../../dashboard/server/api/route-table.ts';
import { answer } from '../support/http-answers.ts';
import { isMissing } from '../support/programs.ts';
import { sealedDay } from '../support/sealed-store.ts';
import { tempDir } from '../support/temp-dir.ts';
import { startTestDashboard } from '../support/test-dashboard.ts';

const document = readFileSync(new URL('../../docs/verify-records.md', import.meta.url), 'utf8');

function block(language: string): string {
  const found = new RegExp(`\\n\`\`\`${language}\\n([\\s\\S]*?)\\n\`\`\`\\n`).exec(document);
  if (!found) throw new Error(`no block of ${language}`);
  return found[1]!;
}

/** A folder with the exported record of a joint under the name the document gives it. */
async function exported(): Promise<{ directory: string; file: string; fingerprint: string }> {
  const { receive, settle, get, post } = await startTestDashboard();
  for (const record of sealedDay()) receive('girthlog/1/spread-1/rig-a/record', record);
  await settle();
  const person = await answer(
    ROUTES.addPerson,
    await post('/api/v1/people', { name: 'Å. Example', roles: ['reviewer'] }),
  );
  const words = { author: person.id, shiftDate: '2026-05-12', reason: 'read “3” for 6', corrects: null };
  const body = { kind: 'consumables', joint: 'J-0001', wireLot: 'W-1' };
  await answer(ROUTES.addEntry, await post('/api/v1/entries', { ...words, body }));
  const directory = tempDir();
  const file = join(directory, 'J-0412.json');
  writeFileSync(file, await (await get('/api/v1/joints/J-0001/record')).text());
  const keys = await answer(ROUTES.keys, await get('/api/v1/keys'));
  return { directory, file, fingerprint: keys.dashboard.fingerprint };
}

const changed = (file: string): void =>
  writeFileSync(file, readFileSync(file, 'utf8').replace('"meanCurrentA":236', '"meanCurrentA":237'));

describe('docs/verify-records.md', () => {
  it('with Node alone: says what it checked, and names what does not fit', async () => {
    const { directory, file, fingerprint } = await exported();
    const script = join(directory, 'check.mjs');
    writeFileSync(script, block('js'));
    const check = (key: string) => spawnSync(process.execPath, [script, file, key], { encoding: 'utf8' });
    expect(check(fingerprint)).toMatchObject({
      status: 0,
      stdout: 'J-0001: 2 passes, 1 entries, everything fits\n',
    });
    expect(check('ab'.repeat(32)).stderr).toMatch(/does not fit: the key is not the one expected/);
    changed(file);
    expect(check(fingerprint).stderr).toMatch(/does not fit: the record is not what was signed/);
  });

  it.skipIf(isMissing('xxd', 'apt install xxd') || isMissing('openssl', 'apt install openssl'))(
    'by hand with openssl: hash, fingerprint and signature as the document says',
    async () => {
      const { directory, file, fingerprint } = await exported();
      const run = (): string =>
        execFileSync('sh', ['-c', `(${block('sh')}) 2>&1 || true`], { cwd: directory, encoding: 'utf8' });
      const lines = run().trim().split('\n');
      const { hash } = JSON.parse(readFileSync(file, 'utf8')) as { hash: string };
      expect(lines).toEqual([
        `${hash}  record.txt`,
        `{"hash":"${hash}"`,
        `${fingerprint}  -`,
        'Signature Verified Successfully',
      ]);
      changed(file);
      expect(run()).toMatch(/Signature Verification Failure/);
    },
  );
});

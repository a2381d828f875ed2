/** Codes of the system in words; the codes are those of POSIX.1-2017, errno.h. */
import { readdir, readFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { expect, it } from 'vitest';
import { whyNotRead } from '#core/program/why-not-read';

const refusal = (work: Promise<unknown>): Promise<string> =>
  work.then(
    () => 'read',
    (error: Error) => whyNotRead(error),
  );

it('says why in words what the system says in codes', async () => {
  expect(await refusal(readFile('/nowhere/at-all'))).toBe('there is no such file or folder');
  expect(await refusal(readFile(tmpdir()))).toBe('it is a folder');
  expect(await refusal(readdir(process.execPath))).toBe('it is no folder');
});

it('keeps a code it has no words for, and a message without a code', () => {
  expect(whyNotRead(Object.assign(new Error('x'), { code: 'EIO' }))).toBe('EIO');
  expect(whyNotRead(new Error('the text is cut off'))).toBe('the text is cut off');
});

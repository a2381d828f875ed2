/** The sentence with the first code names a page that a browser at that computer opens. */
import { expect, test } from 'vitest';
import { setUpSentence } from '../../../dashboard/server/commands/set-up-code-command.ts';

test.each([
  ['https://0.0.0.0:8443', 'https://127.0.0.1:8443/#/set-up'],
  ['https://[::]:8443', 'https://127.0.0.1:8443/#/set-up'],
  ['http://127.0.0.1:8080', 'http://127.0.0.1:8080/#/set-up'],
  ['https://10.0.0.0:8443', 'https://10.0.0.0:8443/#/set-up'],
])('a page on %s is opened as %s', (page, opened) => {
  expect(setUpSentence('7Q2K-0DWX-M3HB', page)).toContain(`: open ${opened} within`);
});

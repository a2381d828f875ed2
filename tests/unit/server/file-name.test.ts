/**
 * Names of files from people's text. Device names and trailing dots: Microsoft, "Naming Files, Paths, and Namespaces";
 * ".." and absolute paths in archives: CWE-22, CWE-23.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { FolderNames, safeName } from '../../../dashboard/server/export/file-name.ts';

describe('a safe name', () => {
  it.each(['J-0042', 'tie-in_7', '12.5', 'A'])('%s is one as it is', text => {
    expect(safeName(text)).toBe(text);
  });

  it.each([
    ['../../etc/passwd', /^etc-passwd-[0-9a-f]{8}$/],
    ['/absolute', /^absolute-[0-9a-f]{8}$/],
    ['C:\\Windows', /^C-Windows-[0-9a-f]{8}$/],
    ['CON', /^name-[0-9a-f]{8}$/],
    ['nul.txt', /^name-[0-9a-f]{8}$/],
    ['COM1', /^name-[0-9a-f]{8}$/],
    ['..', /^name-[0-9a-f]{8}$/],
    ['', /^name-[0-9a-f]{8}$/],
    ['ends.', /^ends-[0-9a-f]{8}$/],
    ['a"\r\nSet-Cookie: x', /^a-Set-Cookie-x-[0-9a-f]{8}$/],
    ['J 42', /^J-42-[0-9a-f]{8}$/],
    ['№7', /^7-[0-9a-f]{8}$/],
  ])('of %j', (text, name) => {
    expect(safeName(text)).toMatch(name);
  });

  it('of any text is short, plain and nobody else’s', () => {
    const names = new Map<string, string>();
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 90 }), text => {
        const name = safeName(text);
        expect(name).toMatch(/^[A-Za-z0-9_][A-Za-z0-9._-]{0,68}$/);
        expect(name).not.toMatch(/\.\.|[.-]$|^(con|prn|aux|nul|com\d|lpt\d)(\.|$)/i);
        expect(names.get(name) ?? text).toBe(text);
        names.set(name, text);
      }),
      { numRuns: 500 },
    );
  });
});

it('names of one folder differ in more than capitals', () => {
  const names = new FolderNames(['passes.csv']);
  expect(['J-1', 'j-1', 'J-1', 'Passes.csv', 'J-2'].map(text => names.of(text).toLowerCase())).toEqual([
    'j-1',
    'j-1-2',
    'j-1-3',
    'passes.csv-2',
    'j-2',
  ]);
});

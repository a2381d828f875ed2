import { execFileSync } from 'node:child_process';
import { copyFileSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { DIST } from '../support/programs.ts';
import { tempDir } from '../support/temp-dir.ts';

/** As the dashboard starts its broker: what V8 compiles under other flags does not fit. */
const [, HEAP_MB] = /HEAP_MB = (\d+)/.exec(
  readFileSync(new URL('../../dashboard/server/broker/fork-broker.ts', import.meta.url), 'utf8'),
)!;

/** What V8 thinks of what is kept beside a program, under the flags it is started with. */
function refusedBy(folder: string, name: string, flags: readonly string[] = []): string {
  const [program, kept] = ['cjs', 'v8'].map(kind => JSON.stringify(join(folder, `${name}.${kind}`)));
  const ask = `const { readFileSync } = require('node:fs');
    const text = readFileSync(${program}, 'utf8');
    const script = new (require('node:vm').Script)(text, { cachedData: readFileSync(${kept}) });
    console.log(script.cachedDataRejected)`;
  return execFileSync(process.execPath, [...flags, '-e', ask], { encoding: 'utf8' }).trim();
}

/** Without a parent that tells it where to listen it has nothing to do, and ends. */
const ends = (folder: string): string =>
  execFileSync(process.execPath, [join(folder, 'broker.js')], { encoding: 'utf8' });

describe('what V8 compiled when the programs were built', () => {
  it.each([
    ['broker', [`--max-old-space-size=${HEAP_MB}`]],
    ['girthlog-edge', []],
    ['girthlog-dashboard', []],
  ] as const)('is taken by this Node: %s', (name, flags) => {
    expect(refusedBy(DIST, name, flags)).toBe('false');
  });

  it('is not believed where it is of something else, and not needed', () => {
    const folder = tempDir();
    for (const file of ['broker.js', 'broker.cjs']) copyFileSync(join(DIST, file), join(folder, file));
    writeFileSync(join(folder, 'package.json'), JSON.stringify({ type: 'module' }));
    expect(ends(folder)).toBe('');
    const kept = readFileSync(join(DIST, 'broker.v8'));
    writeFileSync(join(folder, 'broker.v8'), kept.subarray(0, kept.length >> 1));
    expect(refusedBy(folder, 'broker')).toBe('true');
    expect(ends(folder)).toBe('');
  });
});

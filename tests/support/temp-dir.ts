import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';

/** A fresh folder that goes away with the running test. */
export function tempDir(): string {
  const dir = mkdtempSync(join(tmpdir(), 'girthlog-test-'));
  onTestFinished(() => rmSync(dir, { recursive: true, force: true }));
  return dir;
}

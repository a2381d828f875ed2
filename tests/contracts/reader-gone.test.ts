/** `command | head`: a reader that goes away before all is written is no error. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from 'vitest';

const dist = join(import.meta.dirname, '../../dist');

async function readOnlyTheFirst(
  script: string,
  ...args: string[]
): Promise<{ code: number; stderr: string }> {
  const child = spawn(process.execPath, [join(dist, script), ...args], { stdio: ['ignore', 'pipe', 'pipe'] });
  let stderr = '';
  child.stderr.on('data', (bytes: Buffer) => {
    stderr += bytes.toString();
  });
  const closed = once(child, 'close');
  await once(child.stdout, 'readable');
  child.stdout.destroy();
  const [code] = (await closed) as [number];
  return { code, stderr };
}

/** A recording of so many passes that its document does not fit into a pipe. */
function manyPasses(): { recording: string; map: string } {
  const folder = mkdtempSync(join(tmpdir(), 'girthlog-reader-gone-'));
  const rows: string[] = [];
  for (let k = 0; k < 60_000; k++) {
    const t = k / 20;
    rows.push(t % 20 < 3 ? `${t},${230 + (k % 7)},24` : `${t},0,0`);
  }
  const recording = join(folder, 'many.csv');
  writeFileSync(recording, rows.join('\n'));
  const map = join(folder, 'map.json');
  writeFileSync(
    map,
    JSON.stringify({
      time: { column: 0, unit: 's' },
      weldingCurrent: { column: 1, unit: 'A' },
      arcVoltage: { column: 2, unit: 'V' },
    }),
  );
  return { recording, map };
}

test('of a replay', async () => {
  const { recording, map } = manyPasses();
  expect(await readOnlyTheFirst('girthlog-edge.js', 'replay', recording, '--columns', map, '--json')).toEqual(
    { code: 0, stderr: '' },
  );
});

test('of the dashboard’s documents', async () => {
  expect(await readOnlyTheFirst('girthlog-dashboard.js', 'openapi')).toEqual({ code: 0, stderr: '' });
});

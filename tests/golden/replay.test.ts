/**
 * A recorded pass gives the same summary for ever. A case is a folder: recording.csv, map.json, procedure.json,
 * expected.json. Simulated data: the cases guard against change; they prove no number of the trade.
 * `npx vitest run --config .config/vitest.config.ts tests/golden -u` rewrites expected.json: read the difference.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { procedureSchema } from '#core/procedure/procedure';
import { columnMapSchema } from '../../edge/replay/column-map.ts';
import { readRecording } from '../../edge/replay/recording-reader.ts';
import { replayRecording } from '../../edge/replay/replay.ts';

const cases = join(import.meta.dirname, 'replay');

describe('golden replay', () => {
  test.each(readdirSync(cases))('%s', async name => {
    const json = (file: string): unknown => JSON.parse(readFileSync(join(cases, name, file), 'utf8'));
    const file = join(cases, name, 'recording.csv');
    const recording = await readRecording(file, columnMapSchema.parse(json('map.json')));
    const procedure = procedureSchema.parse(json('procedure.json'));
    const document = replayRecording({ file, recording, procedure, passName: procedure.passes[0]!.name });
    await expect(`${JSON.stringify(document, null, 1)}\n`).toMatchFileSnapshot(
      join(cases, name, 'expected.json'),
    );
  });
});

/** A recording as any logger may have written it, in a file for as long as the test runs, or `folder` is there. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { tempDir } from './temp-dir.ts';

export function recordingFile(text: string | Buffer, name = 'recording', folder = tempDir()): string {
  const path = join(folder, name);
  writeFileSync(path, text);
  return path;
}

/** The map of a recording with the columns t, I and U under a header. */
export const CSV_MAP = {
  header: true,
  time: { column: 't', unit: 's' },
  weldingCurrent: { column: 'I', unit: 'A' },
  arcVoltage: { column: 'U', unit: 'V' },
};

import { readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The version of the package this file lies in, whether as source or as a bundle; "unknown" outside one. */
export function softwareVersion(): string {
  for (let directory = dirname(fileURLToPath(import.meta.url)); ; directory = dirname(directory)) {
    try {
      const manifest = JSON.parse(readFileSync(join(directory, 'package.json'), 'utf8'));
      if (manifest.name === 'girthlog') return manifest.version;
    } catch {
      // No manifest here: look one directory up.
    }
    if (dirname(directory) === directory) return 'unknown';
  }
}

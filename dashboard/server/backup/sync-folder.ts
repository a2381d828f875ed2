import { closeSync, fsyncSync, openSync } from 'node:fs';

/** Makes a rename or a new name in `folder` survive a power cut. */
export function syncFolder(folder: string): void {
  const handle = openSync(folder, 'r');
  try {
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
}

import { existsSync, renameSync } from 'node:fs';

/** Moves a store with its log out of the way, beside where it was; returns where to. */
export function moveAside(path: string, wallMs: number): string {
  const stamp = new Date(wallMs).toISOString().replace(/[-:.]/g, '');
  const base = `${path}.quarantine-${stamp}`;
  let movedTo = base;
  for (let n = 2; existsSync(movedTo); n++) movedTo = `${base}-${n}`;
  for (const part of ['', '-wal', '-shm']) {
    if (existsSync(path + part)) renameSync(path + part, movedTo + part);
  }
  return movedTo;
}

/** A damaged store is moved, never deleted: a person may want what is in it. */
import { existsSync, readdirSync, renameSync } from 'node:fs';
import { join } from 'node:path';

const MARK = '.damaged-';
const SIDE_FILES = ['', '-wal', '-shm', '-journal'];

/** Moves the file with its side files and returns its new path. */
export function setAside(file: string, at: Date): string {
  const base = `${file}${MARK}${at.toISOString().replace(/[-:.]/g, '')}`;
  let aside = base;
  for (let n = 2; existsSync(aside); n++) aside = `${base}-${n}`;
  for (const suffix of SIDE_FILES) {
    if (existsSync(file + suffix)) renameSync(file + suffix, aside + suffix);
  }
  return aside;
}

/** Stores that were moved aside and still lie there, oldest first. */
export function setAsideIn(directory: string): string[] {
  return readdirSync(directory)
    .filter(name => name.includes(MARK) && !SIDE_FILES.some(side => side !== '' && name.endsWith(side)))
    .sort()
    .map(name => join(directory, name));
}

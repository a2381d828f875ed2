/** The folder of a store and its file: for their owner alone. Throws ProgramError where they cannot be made. */
import { closeSync, mkdirSync, openSync } from 'node:fs';
import { EXIT, ProgramError } from '#core/program/program-error';

/** Directory 0700, made if missing. */
export function makeFolder(directory: string): void {
  orExplain(directory, () => mkdirSync(directory, { recursive: true, mode: 0o700 }));
}

/** File 0600, made if missing; SQLite gives its side files the file's mode. */
export function makePrivate(directory: string, file: string): void {
  orExplain(directory, () => closeSync(openSync(file, 'a', 0o600)));
}

function orExplain(directory: string, make: () => void): void {
  try {
    make();
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    throw new ProgramError(
      `Cannot write in the data directory ${directory} (${code}): make it writable or choose another with --data.`,
      EXIT.configuration,
    );
  }
}

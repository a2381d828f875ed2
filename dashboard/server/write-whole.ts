import { randomBytes } from 'node:crypto';
import { closeSync, fsyncSync, openSync, renameSync, writeSync } from 'node:fs';
import { EXIT, ProgramError } from '#core/program/program-error';
import { giveToOwner } from './give-to-owner.ts';

/** A file whole or not at all, also when the power fails. Throws ProgramError. */
export function writeWhole(file: string, text: string, mode: number): void {
  const unfinished = `${file}.${randomBytes(4).toString('hex')}`;
  try {
    const handle = openSync(unfinished, 'wx', mode);
    try {
      writeSync(handle, text);
      fsyncSync(handle);
    } finally {
      closeSync(handle);
    }
    giveToOwner(unfinished);
    renameSync(unfinished, file);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    throw new ProgramError(
      `Cannot write ${file} (${code}): make its directory writable.`,
      EXIT.configuration,
    );
  }
}

import { readFileSync } from 'node:fs';
import { EXIT, ProgramError } from '#core/program/program-error';
import { whyNotRead } from '#core/program/why-not-read';

/** A file that a setting names. Throws ProgramError. */
export function readTextFile(file: string): string {
  try {
    return readFileSync(file, 'utf8');
  } catch (error) {
    throw new ProgramError(`${file} cannot be read: ${whyNotRead(error as Error)}.`, EXIT.configuration);
  }
}

/** Codes that are read from a console or a slip of paper and typed in once; kept hashed. */
import { randomBytes } from 'node:crypto';
import { sha256Hex } from '../seal/ed25519.ts';

/** 32 letters that are not taken for one another: no I, L, O, U. */
const LETTERS = '0123456789ABCDEFGHJKMNPQRSTVWXYZ';
const GROUPS = 3;
const GROUP_LETTERS = 4;

/** 60 bits in three groups, such as 7Q2K-0DWX-M3HB. */
export function newCode(): string {
  const bytes = randomBytes(GROUPS * GROUP_LETTERS);
  const letters = [...bytes].map(byte => LETTERS[byte % LETTERS.length]!);
  return Array.from({ length: GROUPS }, (_, group) =>
    letters.slice(group * GROUP_LETTERS, (group + 1) * GROUP_LETTERS).join(''),
  ).join('-');
}

/** Spaces, hyphens and small letters do not matter, nor O for 0, nor I and L for 1. */
export function codeHash(typed: string): string {
  const plain = typed.toUpperCase().replaceAll(/[\s-]/g, '').replaceAll('O', '0').replaceAll(/[IL]/g, '1');
  return sha256Hex(`girthlog one-time code ${plain}`);
}

/** Of a link: as long as a session's token. */
export const newLinkCode = (): string => randomBytes(24).toString('hex').toUpperCase();

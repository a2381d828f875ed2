/**
 * File names from people's text: letters, digits, ".", "-" and "_" only, so that a name is one on every system, goes
 * nowhere else (no separators, no ".."), and can stand in a header. What was changed carries part of its hash, so that
 * two texts do not become one name.
 */
import { sha256Hex } from '../seal/ed25519.ts';

const LONGEST = 60;
/** Names that Windows keeps for devices, with or without an ending. */
const DEVICE = /^(con|prn|aux|nul|com\d|lpt\d)(\.|$)/i;

export function safeName(text: string): string {
  const plain = plainName(text);
  if (plain === text && plain !== '' && !DEVICE.test(plain)) return plain;
  const hash = sha256Hex(text).slice(0, 8);
  return plain === '' || DEVICE.test(plain) ? `name-${hash}` : `${plain}-${hash}`;
}

/** Only what a name may hold; may be empty, or a device: part of a longer name that is its own already. */
export function plainName(text: string): string {
  return text
    .replaceAll(/[^A-Za-z0-9._-]+/g, '-')
    .replaceAll(/\.{2,}/g, '.')
    .replaceAll(/^[.-]+/g, '')
    .slice(0, LONGEST)
    .replaceAll(/[.-]+$/g, '');
}

/** Names of one folder: two that differ in capitals only would be one on some systems. */
export class FolderNames {
  private readonly taken: Set<string>;

  /** `taken`: what else lies there, in small letters. */
  constructor(taken: readonly string[] = []) {
    this.taken = new Set(taken);
  }

  of(text: string): string {
    const plain = safeName(text);
    let name = plain;
    for (let n = 2; this.taken.has(name.toLowerCase()); n++) name = `${plain}-${n}`;
    this.taken.add(name.toLowerCase());
    return name;
  }
}

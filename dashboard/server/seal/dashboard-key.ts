/**
 * The dashboard's own key: made at the first start in the data directory, never changed, never sent.
 * `dashboard-key.pem` holds it (PKCS 8, mode 0400), `dashboard-key.pub.pem` its public half for whoever verifies.
 * Whoever has the first can sign as this dashboard. Where it is gone (a store restored without its keys) a new one is
 * made, and the public half of the old one stays beside it: what it signed can still be checked.
 */

import { createPrivateKey, createPublicKey, generateKeyPairSync, type KeyObject, sign } from 'node:crypto';
import { existsSync, readdirSync, readFileSync, renameSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { EXIT, ProgramError } from '#core/program/program-error';
import { writeWhole } from '../write-whole.ts';
import { fingerprintOf, rawPublicKey } from './ed25519.ts';

export const KEY_FILE = 'dashboard-key.pem';
export const PUBLIC_KEY_FILE = 'dashboard-key.pub.pem';
const PUBLIC_KEY_FILES = /^dashboard-key(?:\.earlier-[0-9a-f]{16})?\.pub\.pem$/;

export interface DashboardKey {
  /** 32 bytes, hex. */
  readonly publicKey: string;
  /** SHA-256 of these bytes, hex. */
  readonly fingerprint: string;
  /** 64 bytes over the text's UTF-8, hex. */
  readonly sign: (text: string) => string;
}

/** The key of this data directory, made where there is none. Throws ProgramError. */
export function openDashboardKey(directory: string): DashboardKey {
  const file = join(directory, KEY_FILE);
  if (!existsSync(file)) {
    const { privateKey } = generateKeyPairSync('ed25519');
    writeWhole(file, privateKey.export({ type: 'pkcs8', format: 'pem' }).toString(), 0o400);
  }
  const key = readKey(file);
  const publicKey = createPublicKey(key);
  const raw = rawPublicKey(publicKey);
  keepPublicHalf(directory, raw, publicKey.export({ type: 'spki', format: 'pem' }).toString());
  return {
    publicKey: raw,
    fingerprint: fingerprintOf(raw),
    sign: text => sign(null, Buffer.from(text, 'utf8'), key).toString('hex'),
  };
}

/** The public keys that lie beside a store, the present one and earlier ones. */
export function publicKeysBeside(directory: string): string[] {
  return readdirSync(directory)
    .filter(name => PUBLIC_KEY_FILES.test(name))
    .flatMap(name => readPublicKey(join(directory, name)) ?? []);
}

function keepPublicHalf(directory: string, raw: string, pem: string): void {
  const file = join(directory, PUBLIC_KEY_FILE);
  const kept = readPublicKey(file);
  if (kept === raw) return;
  if (kept !== null) {
    renameSync(file, join(directory, `dashboard-key.earlier-${fingerprintOf(kept).slice(0, 16)}.pub.pem`));
  }
  writeWhole(file, pem, 0o444);
}

function readPublicKey(file: string): string | null {
  try {
    const key = createPublicKey(readFileSync(file));
    return key.asymmetricKeyType === 'ed25519' ? rawPublicKey(key) : null;
  } catch {
    return null;
  }
}

function readKey(file: string): KeyObject {
  let key: KeyObject;
  try {
    if ((statSync(file).mode & 0o077) !== 0) {
      throw new ProgramError(
        `Others on this machine can read the signing key ${file}: say chmod 400 ${file}, and ask who may have copied it.`,
        EXIT.configuration,
      );
    }
    key = createPrivateKey(readFileSync(file));
  } catch (error) {
    throw error instanceof ProgramError ? error : notAKey(file);
  }
  if (key.asymmetricKeyType !== 'ed25519') throw notAKey(file);
  return key;
}

function notAKey(file: string): ProgramError {
  return new ProgramError(
    `The signing key ${file} cannot be read: put back a copy of it, or move it aside and a new one is made.`,
    EXIT.configuration,
  );
}

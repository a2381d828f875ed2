/**
 * The edge's signing key: an Ed25519 private key in a file beside the store, made at the first start, read by this
 * user only. Whoever has it can sign as this edge (docs/seals.md), so it never leaves this file.
 */
import {
  createPrivateKey,
  createPublicKey,
  generateKeyPairSync,
  type KeyObject,
  sign as signBytes,
} from 'node:crypto';
import {
  closeSync,
  existsSync,
  fchmodSync,
  fstatSync,
  fsyncSync,
  openSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeSync,
} from 'node:fs';
import { dirname } from 'node:path';
import { EXIT, ProgramError } from '#core/program/program-error';
import { toHex } from '#core/record/hex';
import { keyIdOf } from '#core/record/seal-verify';
import { nodeSealCrypto } from './node-seal-crypto.ts';

export interface SealKey {
  /** Raw, 32 bytes, hex. */
  readonly publicKey: string;
  /** SHA-256 of it. */
  readonly keyId: string;
  readonly sign: (bytes: Uint8Array) => Uint8Array;
}

export interface OpenedKey {
  readonly key: SealKey;
  /** True when the file was made now. */
  readonly made: boolean;
  /** True when others could read the file and it was closed to them. */
  readonly modeFixed: boolean;
  /** Where a file now lies that held no readable key, and why; null when the file was well. */
  readonly damaged: { readonly movedTo: string; readonly reason: string } | null;
}

const MODE = 0o400;

export function keyPathOf(storePath: string): string {
  return `${storePath}.key`;
}

/** Where a key waits that has been announced or is about to be (`key rotate`). */
export function nextKeyPathOf(storePath: string): string {
  return `${storePath}.key.next`;
}

/**
 * The key of the file; made when there is none. One that cannot be read gives way to a new one: recording is not
 * refused for it, and stores will say that nothing announced the new key. Throws ProgramError when none can be made.
 */
export function openSealKey(path: string): OpenedKey {
  if (existsSync(path)) {
    try {
      return { ...readSealKey(path), made: false, damaged: null };
    } catch (error) {
      if (!(error instanceof ProgramError)) throw error;
      let movedTo = `${path}.unreadable`;
      for (let n = 2; existsSync(movedTo); n++) movedTo = `${path}.unreadable-${n}`;
      replaceKeyFile(path, movedTo);
      return { ...readSealKey(path), made: true, damaged: { movedTo, reason: error.message } };
    }
  }
  makeKeyFile(path);
  return { ...readSealKey(path), made: true, damaged: null };
}

function replaceKeyFile(path: string, movedTo: string): void {
  try {
    moveKeyFile(path, movedTo);
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code ?? error;
    throw new ProgramError(`the key ${path} cannot be moved aside: ${code}`, EXIT.configuration);
  }
  makeKeyFile(path);
}

/** Throws ProgramError when the file is missing or holds something else. */
export function readSealKey(path: string): { key: SealKey; modeFixed: boolean } {
  let text: string;
  let modeFixed = false;
  try {
    const file = openSync(path, 'r');
    try {
      const { mode, uid } = fstatSync(file);
      // What a link leads to may be another's: root, in a service's folder, closes what is the service's.
      modeFixed = (mode & 0o077) !== 0 && uid === statSync(dirname(path)).uid;
      if (modeFixed) fchmodSync(file, MODE);
      text = readFileSync(file, 'utf8');
    } finally {
      closeSync(file);
    }
  } catch (error) {
    throw new ProgramError(
      `the key ${path} cannot be read: ${(error as NodeJS.ErrnoException).code ?? error}`,
      EXIT.configuration,
    );
  }
  try {
    const privateKey = createPrivateKey(text);
    if (privateKey.asymmetricKeyType !== 'ed25519') throw new Error('another kind of key');
    return { key: sealKeyOf(privateKey), modeFixed };
  } catch {
    throw new ProgramError(
      `${path} does not hold an Ed25519 private key: put the right file back, or move it away and a new key is made`,
      EXIT.configuration,
    );
  }
}

export function sealKeyOf(privateKey: KeyObject): SealKey {
  const { x } = createPublicKey(privateKey).export({ format: 'jwk' });
  const publicKey = toHex(Buffer.from(x ?? '', 'base64url'));
  return {
    publicKey,
    keyId: keyIdOf(publicKey, nodeSealCrypto),
    sign: bytes => signBytes(null, bytes, privateKey),
  };
}

/** Whole or not at all: written aside, synced, then moved into place. */
export function makeKeyFile(path: string): void {
  const { privateKey } = generateKeyPairSync('ed25519');
  const aside = `${path}.new`;
  try {
    rmSync(aside, { force: true });
    const file = openSync(aside, 'wx', MODE);
    try {
      writeSync(file, privateKey.export({ format: 'pem', type: 'pkcs8' }).toString());
      fsyncSync(file);
    } finally {
      closeSync(file);
    }
    moveKeyFile(aside, path);
  } catch (error) {
    throw new ProgramError(
      `the key ${path} cannot be written: ${(error as NodeJS.ErrnoException).code ?? error}`,
      EXIT.configuration,
    );
  }
}

/** Renames and syncs the folder, so that the move outlives a power cut. */
export function moveKeyFile(from: string, to: string): void {
  renameSync(from, to);
  const folder = openSync(dirname(to), 'r');
  try {
    fsyncSync(folder);
  } finally {
    closeSync(folder);
  }
}

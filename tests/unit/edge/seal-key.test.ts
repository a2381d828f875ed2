import { chmodSync, existsSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import { ProgramError } from '#core/program/program-error';
import { keyInForce } from '../../../edge/seal/create-sealer.ts';
import {
  keyPathOf,
  makeKeyFile,
  nextKeyPathOf,
  openSealKey,
  readSealKey,
} from '../../../edge/seal/seal-key.ts';
import { tempDir } from '../../support/temp-dir.ts';

let store = '';
let path = '';
beforeEach(() => {
  store = join(tempDir(), 'edge.db');
  path = keyPathOf(store);
});
const modeOf = (file: string): number => statSync(file).mode & 0o777;
/** The state of a store whose last seal left this key in force. */
const announcing = (publicKey: string) => ({
  sealPosition: JSON.stringify({ number: 4, hash: 'a'.repeat(64), publicKey, lastSeq: 9 }),
});

describe('the key file', () => {
  it('is made once, beside the store, for this user to read and nobody else', () => {
    const first = openSealKey(path);
    expect(first).toMatchObject({ made: true, modeFixed: false, damaged: null });
    expect(modeOf(path)).toBe(0o400);
    expect(openSealKey(path)).toMatchObject({ made: false, key: { keyId: first.key.keyId } });
  });

  it('is closed to others again, and says so', () => {
    const { key } = openSealKey(path);
    chmodSync(path, 0o644);
    expect(openSealKey(path)).toMatchObject({ modeFixed: true, key: { keyId: key.keyId } });
    expect(modeOf(path)).toBe(0o400);
    expect(openSealKey(path).modeFixed).toBe(false);
  });

  it('that holds no key is kept aside, and recording goes on with a new one', () => {
    writeFileSync(path, 'not a key');
    const { key, damaged, made } = openSealKey(path);
    expect(made).toBe(true);
    expect(damaged?.reason).toContain('does not hold an Ed25519 private key');
    expect(readFileSync(damaged?.movedTo ?? '', 'utf8')).toBe('not a key');
    expect(readSealKey(path).key.keyId).toBe(key.keyId);
  });

  it('of another kind is refused when somebody only asks for it', () => {
    writeFileSync(path, 'not a key');
    expect(() => readSealKey(path)).toThrow(ProgramError);
    expect(() => readSealKey(`${path}.none`)).toThrow(ProgramError);
  });
});

describe('a rotation that a kill cut short', () => {
  it('is finished where the store has the announcement', () => {
    const old = openSealKey(path).key;
    makeKeyFile(nextKeyPathOf(store));
    const next = readSealKey(nextKeyPathOf(store)).key;
    expect(keyInForce(store, announcing(next.publicKey)).key.keyId).toBe(next.keyId);
    expect(existsSync(nextKeyPathOf(store))).toBe(false);
    expect(readSealKey(path).key.keyId).not.toBe(old.keyId);
  });

  it('is dropped where it has not, or where the new file is not whole', () => {
    const old = openSealKey(path).key;
    makeKeyFile(nextKeyPathOf(store));
    expect(keyInForce(store, announcing(old.publicKey)).key.keyId).toBe(old.keyId);
    expect(existsSync(nextKeyPathOf(store))).toBe(false);
    writeFileSync(nextKeyPathOf(store), '-----BEGIN');
    expect(keyInForce(store, announcing(old.publicKey)).key.keyId).toBe(old.keyId);
    expect(existsSync(nextKeyPathOf(store))).toBe(false);
  });
});

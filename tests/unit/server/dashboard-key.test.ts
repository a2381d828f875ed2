import { execFileSync } from 'node:child_process';
import { chmodSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { nodeSealCrypto } from '../../../dashboard/server/ingest/node-seal-crypto.ts';
import {
  KEY_FILE,
  openDashboardKey,
  publicKeysBeside,
} from '../../../dashboard/server/seal/dashboard-key.ts';
import { fingerprintOf, isSignedBy, publicKeyPem } from '../../../dashboard/server/seal/ed25519.ts';
import { tempDir } from '../../support/temp-dir.ts';

/** RFC 8032 section 7.1, TEST 1 and TEST 2: public key, message, signature, hex. Written down from memory. */
const RFC_8032 = [
  [
    'd75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a',
    '',
    'e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b',
  ],
  [
    '3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c',
    '72',
    '92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00',
  ],
] as const;

test.each(RFC_8032)(
  'a published signature is accepted, and none that differs by a bit (key %s)',
  (key, message, signature) => {
    const bytes = (hex: string): Buffer => Buffer.from(hex, 'hex');
    expect(nodeSealCrypto.verifySignature(bytes(key), bytes(message), bytes(signature))).toBe(true);
    const changed = bytes(signature);
    changed[40] = changed[40]! ^ 1;
    expect(nodeSealCrypto.verifySignature(bytes(key), bytes(message), changed)).toBe(false);
    expect(nodeSealCrypto.verifySignature(bytes(key), bytes(`${message}00`), bytes(signature))).toBe(false);
  },
);

test('what is no key signs nothing, and is no error', () => {
  expect(isSignedBy('', 'text', '00'.repeat(64))).toBe(false);
  expect(publicKeyPem('1234')).toBeNull();
});

test('the key is made once, private to its owner, and the same after', () => {
  const directory = tempDir();
  const key = openDashboardKey(directory);
  expect(statSync(join(directory, KEY_FILE)).mode & 0o777).toBe(0o400);
  expect(readdirSync(directory).sort()).toEqual(['dashboard-key.pem', 'dashboard-key.pub.pem']);
  expect(key.fingerprint).toBe(fingerprintOf(key.publicKey));
  const again = openDashboardKey(directory);
  expect(again.fingerprint).toBe(key.fingerprint);
  const text = 'what is signed: 610 × 15.9 mm';
  expect(isSignedBy(key.publicKey, text, again.sign(text))).toBe(true);
  expect(isSignedBy(key.publicKey, `${text} `, again.sign(text))).toBe(false);
  expect(openDashboardKey(tempDir()).fingerprint).not.toBe(key.fingerprint);
});

test('other programs read the public half', () => {
  const directory = tempDir();
  const { publicKey } = openDashboardKey(directory);
  const pem = readFileSync(join(directory, 'dashboard-key.pub.pem'), 'utf8');
  expect(publicKeyPem(publicKey)).toBe(pem);
  const text = execFileSync('openssl', ['pkey', '-pubin', '-noout', '-text'], {
    input: pem,
    encoding: 'utf8',
  });
  expect(text).toContain('ED25519 Public-Key');
  expect(text.slice(text.indexOf('pub:') + 4).replaceAll(/[\s:]/g, '')).toBe(publicKey);
});

test('a new key leaves the public half of the old one beside it', () => {
  const directory = tempDir();
  const old = openDashboardKey(directory);
  rmSync(join(directory, KEY_FILE), { force: true });
  const young = openDashboardKey(directory);
  expect(young.fingerprint).not.toBe(old.fingerprint);
  expect(publicKeysBeside(directory).sort()).toEqual([old.publicKey, young.publicKey].sort());
});

test('a key that others can read, or that is none, is refused with what to do', () => {
  const directory = tempDir();
  openDashboardKey(directory);
  const file = join(directory, KEY_FILE);
  chmodSync(file, 0o440);
  expect(() => openDashboardKey(directory)).toThrow(`say chmod 400 ${file}, and ask who may have copied it.`);
  chmodSync(file, 0o600);
  writeFileSync(file, 'not a key');
  expect(() => openDashboardKey(directory)).toThrow(/cannot be read: put back a copy of it/);
});

/** The worked example of docs/seals.md is what the code makes of it; its key is that of RFC 8032 section 7.1, TEST 1. */
import { createHash, createPrivateKey } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { CHAIN_START, recordHashInput } from '#core/record/chain';
import { sealText } from '#core/record/seal';
import { readSeal } from '#core/record/seal-verify';
import { sealKeyOf } from '../../../edge/seal/seal-key.ts';
import { rootOf, testCrypto } from '../../support/seal-bench.ts';

const doc = readFileSync(resolve(import.meta.dirname, '../../../docs/seals.md'), 'utf8');
const sha256 = (text: string | Uint8Array): string => createHash('sha256').update(text).digest('hex');

const stream = '0123456789abcdef0123456789abcdef';
const hashOf = (seq: number, prev: string): string =>
  sha256(recordHashInput({ prev, stream, seq, body: `{"n":${seq}}` }));
const first = hashOf(1, CHAIN_START);
const second = hashOf(2, first);
const secret = '9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60';
const der = Buffer.from(`302e020100300506032b657004220420${secret}`, 'hex');
const key = sealKeyOf(createPrivateKey({ key: der, format: 'der', type: 'pkcs8' }));
const seal = {
  schema: 'girthlog.seal/1',
  kind: 'checkpoint',
  origin: 'simulated',
  site: 'spread-1',
  rig: 'rig-a',
  stream,
  number: 2,
  prev: sha256('the seal before'),
  firstSeq: 1,
  lastSeq: 2,
  root: rootOf([first, second]),
  head: second,
  recordUs: 1_780_000_000_000_000,
  at: '2026-05-28T20:26:40.000Z',
  clock: { state: 'synced', offsetMs: null },
  software: 'girthlog-edge 0.1.0',
  keyId: key.keyId,
};
const text = sealText(seal);
const signature = Buffer.from(key.sign(Buffer.from(text))).toString('hex');

describe('docs/seals.md', () => {
  it('shows the hashes, the root, the text and the signature that the code makes', () => {
    for (const value of [first, second, seal.root, text, sha256(text), key.publicKey, key.keyId, signature]) {
      expect(doc).toContain(value);
    }
  });

  it('shows a seal that holds', () => {
    const read = readSeal({ seal, publicKey: key.publicKey, signature }, testCrypto);
    expect(typeof read === 'string' ? read : read.hash).toBe(sha256(text));
  });

  it('names every field of a seal', () => {
    for (const field of [...Object.keys(seal), 'pass', 'gaps', 'gapsLeftOut', 'publicKey']) {
      expect(doc).toContain(`\`${field}\``);
    }
  });
});

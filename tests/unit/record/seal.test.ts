import { createHash, createPrivateKey, createPublicKey } from 'node:crypto';
import { describe, expect, it, test } from 'vitest';
import { sealText } from '#core/record/seal';
import {
  coverProblem,
  keyIdOf,
  readSeal,
  type SealCrypto,
  shortKey,
  verifySeal,
  verifySealChain,
} from '#core/record/seal-verify';
import { nodeSealCrypto as dashboardCrypto } from '../../../dashboard/server/ingest/node-seal-crypto.ts';
import { nodeSealCrypto as edgeCrypto } from '../../../edge/seal/node-seal-crypto.ts';
import { sealKeyOf } from '../../../edge/seal/seal-key.ts';
import { firstSeal, rootOf, sealHead, signSeal, testCrypto, testKey } from '../../support/seal-bench.ts';
import { testPass } from '../../support/test-records.ts';

const hex = (text: string): Uint8Array => Buffer.from(text, 'hex');

/**
 * RFC 8032 section 7.1, TEST 1 to 3 (rfc-editor.org/rfc/rfc8032#section-7.1). Typed from memory; an Ed25519 of another
 * make gives the same keys and signatures to the bit.
 */
const RFC_8032 = [
  {
    secret: '9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60',
    publicKey: 'd75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a',
    message: '',
    signature:
      'e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b',
  },
  {
    secret: '4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb',
    publicKey: '3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c',
    message: '72',
    signature:
      '92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00',
  },
  {
    secret: 'c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7',
    publicKey: 'fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025',
    message: 'af82',
    signature:
      '6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a',
  },
];

describe('Ed25519 as edge and dashboard use it (RFC 8032 7.1)', () => {
  const implementations: [string, SealCrypto][] = [
    ['edge', edgeCrypto],
    ['dashboard', dashboardCrypto],
  ];
  test.each(RFC_8032)('message "$message"', ({ secret, publicKey, message, signature }) => {
    // RFC 8410 section 7: PKCS 8 of an Ed25519 key is this head and the 32 bytes.
    const der = Buffer.concat([hex('302e020100300506032b657004220420'), hex(secret)]);
    const key = sealKeyOf(createPrivateKey({ key: der, format: 'der', type: 'pkcs8' }));
    expect(key.publicKey).toBe(publicKey);
    expect(key.keyId).toBe(createHash('sha256').update(hex(publicKey)).digest('hex'));
    expect(Buffer.from(key.sign(hex(message))).toString('hex')).toBe(signature);
    for (const [name, crypto] of implementations) {
      expect(crypto.verifySignature(hex(publicKey), hex(message), hex(signature)), name).toBe(true);
      expect(crypto.verifySignature(hex(publicKey), hex(`${message}00`), hex(signature)), name).toBe(false);
      expect(crypto.verifySignature(hex('00'), hex(message), hex(signature)), name).toBe(false);
    }
  });

  it('names raw keys as OpenSSL does', () => {
    const key = testKey();
    const der = createPublicKey(key.privateKey).export({ format: 'der', type: 'spki' });
    expect(der.subarray(-32).toString('hex')).toBe(key.publicKey);
    expect(keyIdOf(key.publicKey, testCrypto)).toBe(key.keyId);
  });
});

const HASHES = Array.from({ length: 7 }, (_, i) => createHash('sha256').update(`batch ${i}`).digest('hex'));
const key = testKey();
const first = firstSeal(key);
const checkpoint = signSeal({ ...sealHead(key, first, HASHES.slice(0, 5)), kind: 'checkpoint' }, key);
const PASS = testPass(1);
const passSeal = signSeal(
  { ...sealHead(key, checkpoint, HASHES.slice(2), 3), kind: 'pass', pass: PASS, gaps: [], gapsLeftOut: 0 },
  key,
);
const CHAIN = [first, checkpoint, passSeal];

/** The same seal with something changed, signed as if it were right. */
const resigned = (changes: Record<string, unknown>, by = key) =>
  signSeal({ ...passSeal.seal, ...changes }, by);

describe('one seal', () => {
  it('holds by itself, its text canonical', () => {
    for (const seal of CHAIN) expect(verifySeal(seal, testCrypto)).toBeNull();
    const read = readSeal(passSeal, testCrypto);
    if (typeof read === 'string') throw new Error(read);
    expect(read.text).toBe(sealText(JSON.parse(read.text)));
    expect(read.hash).toBe(createHash('sha256').update(read.text).digest('hex'));
  });

  test.each([
    ['a changed value', { ...passSeal, seal: { ...passSeal.seal, lastSeq: 8 } }, /signature does not fit/],
    ['another origin', { ...passSeal, seal: { ...passSeal.seal, origin: 'real' } }, /signature does not fit/],
    ['one more key', { ...passSeal, seal: { ...passSeal.seal, more: 1 } }, /signature does not fit/],
    ['another key beside it', { ...passSeal, publicKey: testKey().publicKey }, /signature does not fit/],
    ['no seal', { seal: 1 }, /not a signed seal/],
    ['nothing', null, /not a signed seal/],
    [
      'a value without a text',
      { ...passSeal, seal: { ...passSeal.seal, at: undefined } },
      /no canonical text/,
    ],
  ])('%s is found', (_, seal, problem) => {
    expect(verifySeal(seal, testCrypto)).toMatch(problem);
  });

  test.each([
    ['an open pass', resigned({ pass: testPass(1, { state: 'open' }) }), /still open/],
    ['a pass of another rig', resigned({ pass: testPass(1, { rig: 'rig-b' }) }), /another rig or stream/],
    ['a pass of another origin', resigned({ pass: testPass(1, { origin: 'real' }) }), /two origins/],
    ['batches the wrong way round', resigned({ firstSeq: 9 }), /end before they begin/],
    ['no batches', resigned({ firstSeq: 8, lastSeq: 7 }), /without batches/],
    ['a first seal that follows', resigned({ number: 1, prev: 'a'.repeat(64) }), /follows none/],
    ['a key it does not name', resigned({}, testKey()), /another key/],
    ['an unknown schema', resigned({ schema: 'girthlog.seal/2' }), /not a seal this program can read/],
    ['an unknown field', resigned({ note: 'x' }), /not a seal this program can read/],
  ])('%s is refused though it is signed', (_, seal, problem) => {
    expect(verifySeal(seal, testCrypto)).toMatch(problem);
  });
});

describe('a chain of seals', () => {
  it('holds, with and without a trusted key, and from a position on', () => {
    expect(verifySealChain(CHAIN, testCrypto)).toBeNull();
    expect(verifySealChain(CHAIN, testCrypto, { trustedKeyId: key.keyId })).toBeNull();
  });

  it('signed by somebody else from the start is only found by the trusted key', () => {
    const other = testKey();
    const forged = [firstSeal(other)];
    expect(verifySealChain(forged, testCrypto)).toBeNull();
    expect(verifySealChain(forged, testCrypto, { trustedKeyId: key.keyId })?.problem).toMatch(
      /signed by key/,
    );
  });

  test.each([
    ['the first missing', CHAIN.slice(1), 0, /earlier ones are missing/],
    ['one missing', [first, passSeal], 1, /seal 3 stands where seal 2 should/],
    ['one twice', [first, checkpoint, checkpoint], 2, /seal 2 stands where seal 3 should/],
    ['two in each other’s place', [first, passSeal, checkpoint], 1, /seal 3 stands/],
  ])('%s', (_, seals, index, problem) => {
    const found = verifySealChain(seals, testCrypto);
    expect(found?.index).toBe(index);
    expect(found?.problem).toMatch(problem);
  });

  test.each([
    [
      'a seal of another stream',
      { stream: 'e'.repeat(32), pass: testPass(1, { stream: 'e'.repeat(32) }) },
      /another stream/,
    ],
    ['another origin', { origin: 'real', pass: testPass(1, { origin: 'real' }) }, /changes the origin/],
    ['another predecessor', { prev: 'a'.repeat(64) }, /does not follow/],
    ['fewer batches than before', { firstSeq: 1, lastSeq: 4 }, /less far/],
  ])('%s is found though it is signed', (_, changes, problem) => {
    expect(verifySealChain([first, checkpoint, resigned(changes)], testCrypto)?.problem).toMatch(problem);
  });

  it('follows a key that the old one announced, and no other', () => {
    const next = testKey();
    const announce = signSeal(
      { ...sealHead(key, checkpoint, HASHES.slice(0, 5)), kind: 'key', publicKey: next.publicKey },
      key,
    );
    const behind = (by: typeof key) =>
      signSeal({ ...sealHead(by, announce, HASHES.slice(0, 6)), kind: 'checkpoint' }, by);
    expect(verifySealChain([first, checkpoint, announce, behind(next)], testCrypto)).toBeNull();
    for (const by of [key, testKey()]) {
      const found = verifySealChain([first, checkpoint, announce, behind(by)], testCrypto);
      expect(found).toEqual({ index: 3, problem: 'seal 4 is signed by a key that nothing announced' });
    }
  });

  it('begins with a key or not at all', () => {
    const wrong = signSeal({ ...sealHead(key, null, []), kind: 'checkpoint' }, key);
    const foreign = signSeal(
      { ...sealHead(key, null, []), kind: 'key', publicKey: testKey().publicKey },
      key,
    );
    for (const seal of [wrong, foreign]) {
      expect(verifySealChain([seal], testCrypto)?.problem).toMatch(/does not announce its key/);
    }
  });
});

describe('the batches under a seal', () => {
  const cover = { firstSeq: 3, lastSeq: 7, root: rootOf(HASHES.slice(2)), head: HASHES.at(-1)! };

  it('are there by their hashes alone, whatever became of their content', () => {
    expect(coverProblem(cover, HASHES.slice(2), testCrypto)).toBeNull();
  });

  test.each([
    ['one missing', HASHES.slice(3), /5 batches are sealed and 4 are here/],
    ['one too many', HASHES.slice(1), /5 batches are sealed and 6 are here/],
    ['two in each other’s place', [2, 4, 3, 5, 6].map(i => HASHES[i]!), /the root of batches 3 to 7/],
    ['another one', [...HASHES.slice(2, 6), HASHES[0]!], /the root of batches 3 to 7/],
    ['not a hash', [...HASHES.slice(2, 6), 'x'], /not hexadecimal/],
  ])('%s', (_, hashes, problem) => {
    expect(coverProblem(cover, hashes, testCrypto)).toMatch(problem);
  });

  it('a chain that ends in another hash is found beside a root that fits', () => {
    expect(coverProblem({ ...cover, head: HASHES[0]! }, HASHES.slice(2), testCrypto)).toMatch(
      /the chain at batch 7/,
    );
  });
});

test('a fingerprint is read out in fours', () => {
  expect(shortKey('0123456789abcdef'.repeat(4))).toBe('0123 4567 89ab cdef');
});

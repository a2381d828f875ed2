import { createHash } from 'node:crypto';
import { describe, expect, it, test } from 'vitest';
import { fromHex, toHex } from '#core/record/hex';
import {
  consistencyProof,
  EMPTY_FRONTIER,
  frontierRoot,
  growFrontier,
  inclusionProof,
  merkleRoot,
  verifyConsistency,
  verifyInclusion,
} from '#core/record/merkle-tree';

const sha256 = (bytes: Uint8Array): Uint8Array => createHash('sha256').update(bytes).digest();
const bytes = (hex: string): Uint8Array => Buffer.from(hex, 'hex');

/**
 * The test data of the reference implementation of RFC 6962 (its Merkle tree tests): eight leaves, the root of the
 * first n, some paths and proofs. Typed from memory; a hash remembered wrongly could not come out of SHA-256.
 */
const LEAVES = [
  '',
  '00',
  '10',
  '2021',
  '3031',
  '40414243',
  '5051525354555657',
  '606162636465666768696a6b6c6d6e6f',
].map(bytes);
const ROOTS = [
  // RFC 6962 2.1: the hash of an empty list is the hash of an empty string (FIPS 180-4).
  'e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855',
  '6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d',
  'fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125',
  'aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77',
  'd37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7',
  '4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4',
  '76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef',
  'ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c',
  '5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328',
];

describe('the tree of RFC 6962', () => {
  test.each(ROOTS.map((root, n) => [n, root] as const))('root of the first %i leaves', (n, root) => {
    expect(toHex(merkleRoot(LEAVES.slice(0, n), sha256))).toBe(root);
  });

  it('grows leaf by leaf to the same roots, keeping one hash per bit', () => {
    let frontier = EMPTY_FRONTIER;
    LEAVES.forEach((leaf, i) => {
      frontier = growFrontier(frontier, [leaf], sha256);
      expect(toHex(frontierRoot(frontier, sha256))).toBe(ROOTS[i + 1]);
      expect(frontier.peaks).toHaveLength([1, 1, 2, 1, 2, 2, 3, 1][i]!);
    });
  });

  test('path of the first leaf in a tree of eight', () => {
    const path = inclusionProof(LEAVES, 0, sha256);
    expect(path.map(toHex)).toEqual([
      '96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7',
      '5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e',
      '6b47aaf29ee3c2af9af889bc1fb9254dabd31177f16232dd6aab035ca39bf6e4',
    ]);
  });

  test('proof that a tree of six grew into one of eight', () => {
    expect(consistencyProof(LEAVES, 6, sha256).map(toHex)).toEqual([
      '0ebc5d3437fbe2db158b9f126a1d118e308181031d0a949f8dededebc558ef6a',
      'ca854ea128ed050b41b35ffc1b87b8eb2bde461e9e3b5596ece6b9d5975a0ae0',
      'd37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7',
    ]);
  });

  test('proof that a tree of two grew into one of five', () => {
    expect(consistencyProof(LEAVES.slice(0, 5), 2, sha256).map(toHex)).toEqual([
      '5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e',
      'bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b',
    ]);
  });

  it('proves every leaf of every size, and no other place, size, leaf or root', () => {
    for (let size = 1; size <= 8; size++) {
      const leaves = LEAVES.slice(0, size);
      const root = bytes(ROOTS[size]!);
      leaves.forEach((leaf, index) => {
        const proof = inclusionProof(leaves, index, sha256);
        const claim = { leaf, index, size, proof, root };
        expect(verifyInclusion(claim, sha256)).toBe(true);
        expect(verifyInclusion({ ...claim, index: index + 1 }, sha256)).toBe(false);
        expect(verifyInclusion({ ...claim, leaf: bytes('ff') }, sha256)).toBe(false);
        expect(verifyInclusion({ ...claim, root: bytes(ROOTS[size - 1]!) }, sha256)).toBe(false);
        expect(verifyInclusion({ ...claim, proof: [...proof, root] }, sha256)).toBe(false);
        if (size > 1) expect(verifyInclusion({ ...claim, proof: proof.slice(1) }, sha256)).toBe(false);
      });
    }
  });

  it('proves growth between every two sizes, and no growth that was not', () => {
    for (let second = 1; second <= 8; second++) {
      for (let first = 1; first <= second; first++) {
        const proof = consistencyProof(LEAVES.slice(0, second), first, sha256);
        const [firstRoot, secondRoot] = [bytes(ROOTS[first]!), bytes(ROOTS[second]!)];
        const claim = { first, second, firstRoot, secondRoot, proof };
        expect(verifyConsistency(claim, sha256)).toBe(true);
        expect(verifyConsistency({ ...claim, firstRoot: bytes(ROOTS[0]!) }, sha256)).toBe(false);
        expect(verifyConsistency({ ...claim, secondRoot: bytes(ROOTS[0]!) }, sha256)).toBe(false);
        expect(verifyConsistency({ ...claim, proof: [...proof, secondRoot] }, sha256)).toBe(false);
        if (first < second) {
          expect(verifyConsistency({ ...claim, proof: [] }, sha256)).toBe(false);
          expect(verifyConsistency({ ...claim, first: first - 1 }, sha256)).toBe(false);
        }
      }
    }
  });

  it('refuses places that are not there', () => {
    expect(() => inclusionProof(LEAVES, 8, sha256)).toThrow(RangeError);
    expect(() => inclusionProof(LEAVES, -1, sha256)).toThrow(RangeError);
    expect(() => consistencyProof(LEAVES, 0, sha256)).toThrow(RangeError);
    expect(() => consistencyProof(LEAVES, 9, sha256)).toThrow(RangeError);
  });
});

test('hexadecimal, both ways, and nothing else', () => {
  expect(fromHex('00ff10')).toEqual(Uint8Array.of(0, 255, 16));
  expect(toHex(Uint8Array.of(0, 255, 16))).toBe('00ff10');
  expect([fromHex('0'), fromHex('0G'), fromHex('FF')]).toEqual([null, null, null]);
});

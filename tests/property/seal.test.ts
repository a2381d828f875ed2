/** Whatever is done to a sealed stream is found: any byte of a seal, any batch, any order, any pass of another. */
import { createHash } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { toHex } from '#core/record/hex';
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
import type { Seal, SignedSeal } from '#core/record/seal';
import { coverProblem, verifySealChain } from '#core/record/seal-verify';
import { definedRoot, firstSeal, sealHead, signSeal, testCrypto, testKey } from '../support/seal-bench.ts';
import { testPass } from '../support/test-records.ts';

const sha256 = testCrypto.sha256;
const leavesOf = (n: number): Uint8Array[] =>
  Array.from({ length: n }, (_, i) => sha256(Uint8Array.of(i, i >> 8)));

const key = testKey();
const HASHES = Array.from({ length: 40 }, (_, i) => createHash('sha256').update(`b${i}`).digest('hex'));

/** A key, then pass and checkpoint in turn, each some batches further. */
function stream(count: number): SignedSeal[] {
  const seals = [firstSeal(key)];
  for (let n = 1; n < count; n++) {
    const before = seals.at(-1)!;
    const upto = n * 4;
    const seal: Seal =
      n % 2 === 1
        ? {
            ...sealHead(key, before, HASHES.slice(upto - 3, upto), upto - 2),
            kind: 'pass',
            pass: testPass(n),
            gaps: [{ fromUs: n, toUs: n + 1, cause: 'noSamples' }],
            gapsLeftOut: 0,
          }
        : { ...sealHead(key, before, HASHES.slice(0, upto)), kind: 'checkpoint' };
    seals.push(signSeal(seal, key));
  }
  return seals;
}
const STREAM_OF_SEALS = stream(8);
const trusted = { trustedKeyId: key.keyId };

describe('seals', () => {
  it('a changed byte of the travelling text is found wherever it is', () => {
    const text = JSON.stringify(STREAM_OF_SEALS);
    expect(verifySealChain(JSON.parse(text), testCrypto, trusted)).toBeNull();
    fc.assert(
      fc.property(fc.nat(text.length - 1), fc.integer({ min: 0x20, max: 0x7e }), (at, code) => {
        const changed = text.slice(0, at) + String.fromCharCode(code) + text.slice(at + 1);
        let seals: unknown;
        try {
          seals = JSON.parse(changed);
        } catch {
          return;
        }
        // White space, or a digit beyond what a double holds, is no other document.
        if (JSON.stringify(seals) === text) return;
        expect(Array.isArray(seals) ? verifySealChain(seals, testCrypto, trusted) : 'none').not.toBeNull();
      }),
      { numRuns: 400 },
    );
  });

  it('one left out, put twice, moved or taken from another edge is found', () => {
    const other = firstSeal(testKey());
    fc.assert(
      fc.property(
        fc.nat(6),
        fc.nat(7),
        fc.constantFrom('drop', 'repeat', 'swap', 'foreign'),
        (at, to, what) => {
          const seals = [...STREAM_OF_SEALS];
          if (what === 'drop') seals.splice(at, 1);
          if (what === 'repeat') seals.splice(at, 0, seals[at]!);
          if (what === 'foreign') seals[at] = other;
          if (what === 'swap') {
            if (at === to) return;
            [seals[at], seals[to]] = [seals[to]!, seals[at]!];
          }
          expect(verifySealChain(seals, testCrypto, trusted)).not.toBeNull();
        },
      ),
    );
  });

  it('a batch changed, left out, added or moved under a seal is found', () => {
    const cover = sealHead(key, null, HASHES);
    fc.assert(
      fc.property(
        fc.nat(39),
        fc.nat(39),
        fc.constantFrom('edit', 'drop', 'repeat', 'swap'),
        (at, to, what) => {
          const hashes = [...HASHES];
          if (what === 'edit') hashes[at] = createHash('sha256').update('other').digest('hex');
          if (what === 'drop') hashes.splice(at, 1);
          if (what === 'repeat') hashes.splice(at, 0, hashes[at]!);
          if (what === 'swap') {
            if (at === to) return;
            [hashes[at], hashes[to]] = [hashes[to]!, hashes[at]!];
          }
          expect(coverProblem(cover, hashes, testCrypto)).not.toBeNull();
        },
      ),
    );
    expect(coverProblem(cover, HASHES, testCrypto)).toBeNull();
  });
});

describe('the tree', () => {
  const sizes = fc.integer({ min: 1, max: 70 });

  it('is the one RFC 6962 section 2.1 defines, whatever portions it grew by', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 30 }), { maxLength: 5 }), portions => {
        let frontier = EMPTY_FRONTIER;
        const leaves: Uint8Array[] = [];
        const all = leavesOf(portions.reduce((sum, n) => sum + n, 0));
        for (const portion of portions) {
          const some = all.slice(leaves.length, leaves.length + portion);
          leaves.push(...some);
          frontier = growFrontier(frontier, some, sha256);
        }
        expect(toHex(frontierRoot(frontier, sha256))).toBe(toHex(definedRoot(leaves)));
        expect(frontier.size).toBe(leaves.length);
      }),
    );
  });

  it('proves each of its leaves, and no proof survives a changed bit', () => {
    fc.assert(
      fc.property(sizes, fc.nat(), fc.nat(), (size, pick, bit) => {
        const leaves = leavesOf(size);
        const index = pick % size;
        const root = merkleRoot(leaves, sha256);
        const proof = inclusionProof(leaves, index, sha256);
        const claim = { leaf: leaves[index]!, index, size, proof, root };
        expect(verifyInclusion(claim, sha256)).toBe(true);
        if (proof.length === 0) return;
        const step = bit % proof.length;
        const bent = proof.map((hash, i) => (i === step ? flip(hash, bit) : hash));
        expect(verifyInclusion({ ...claim, proof: bent }, sha256)).toBe(false);
      }),
    );
  });

  it('proves that it grew, and not that it grew from anything else', () => {
    fc.assert(
      fc.property(sizes, fc.nat(), fc.nat(), (second, pick, bit) => {
        const leaves = leavesOf(second);
        const first = 1 + (pick % second);
        const [firstRoot, secondRoot] = [
          merkleRoot(leaves.slice(0, first), sha256),
          merkleRoot(leaves, sha256),
        ];
        const proof = consistencyProof(leaves, first, sha256);
        const claim = { first, second, firstRoot, secondRoot, proof };
        expect(verifyConsistency(claim, sha256)).toBe(true);
        expect(verifyConsistency({ ...claim, firstRoot: flip(firstRoot, bit) }, sha256)).toBe(false);
        expect(verifyConsistency({ ...claim, secondRoot: flip(secondRoot, bit) }, sha256)).toBe(false);
      }),
    );
  });
});

function flip(bytes: Uint8Array, bit: number): Uint8Array {
  const copy = Uint8Array.from(bytes);
  copy[(bit >> 3) % copy.length]! ^= 1 << (bit & 7);
  return copy;
}

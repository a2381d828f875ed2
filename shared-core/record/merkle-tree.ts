/**
 * The Merkle tree of RFC 6962 section 2.1 (unchanged in RFC 9162 2.1) over batch hashes: one hash for any number of
 * them. A leaf is SHA-256(0x00 ‖ batch hash), a node SHA-256(0x01 ‖ left ‖ right), the empty tree SHA-256 of nothing;
 * a tree of n leaves is split at the largest power of two below n. SHA-256 is passed in.
 */
export type Sha256 = (bytes: Uint8Array) => Uint8Array;

const LEAF = 0x00;
const NODE = 0x01;

/**
 * A tree that only grows, as the roots of its complete subtrees, largest first: all that is needed to add a leaf or to
 * tell the root. At most one hash per bit of `size`.
 */
export interface MerkleFrontier {
  readonly size: number;
  readonly peaks: readonly Uint8Array[];
}

export const EMPTY_FRONTIER: MerkleFrontier = { size: 0, peaks: [] };

/** The tree with `leaves` added in order. */
export function growFrontier(
  frontier: MerkleFrontier,
  leaves: Iterable<Uint8Array>,
  sha256: Sha256,
): MerkleFrontier {
  const peaks = [...frontier.peaks];
  let { size } = frontier;
  for (const leaf of leaves) {
    let node = leafHash(leaf, sha256);
    // One merge for every complete subtree of the new leaf's own size: the trailing ones of the old size.
    for (let rest = size; rest % 2 === 1; rest = (rest - 1) / 2) node = nodeHash(peaks.pop()!, node, sha256);
    peaks.push(node);
    size += 1;
  }
  return { size, peaks };
}

export function frontierRoot({ peaks }: MerkleFrontier, sha256: Sha256): Uint8Array {
  const last = peaks.at(-1);
  if (!last) return sha256(new Uint8Array(0));
  return peaks.slice(0, -1).reduceRight((right, left) => nodeHash(left, right, sha256), last);
}

/** MTH of section 2.1. */
export function merkleRoot(leaves: readonly Uint8Array[], sha256: Sha256): Uint8Array {
  return frontierRoot(growFrontier(EMPTY_FRONTIER, leaves, sha256), sha256);
}

/** PATH(index, leaves) of section 2.1.1: what shows that leaf `index` (from 0) is in the tree. RangeError outside it. */
export function inclusionProof(leaves: readonly Uint8Array[], index: number, sha256: Sha256): Uint8Array[] {
  if (!Number.isInteger(index) || index < 0 || index >= leaves.length) {
    throw new RangeError(`no leaf ${index} in a tree of ${leaves.length}`);
  }
  if (leaves.length === 1) return [];
  const k = splitOf(leaves.length);
  const [left, right] = [leaves.slice(0, k), leaves.slice(k)];
  return index < k
    ? [...inclusionProof(left, index, sha256), merkleRoot(right, sha256)]
    : [...inclusionProof(right, index - k, sha256), merkleRoot(left, sha256)];
}

/** RFC 9162 2.1.3.2: does `proof` lead from leaf `index` of a tree of `size` to `root`? */
export function verifyInclusion(
  claim: { leaf: Uint8Array; index: number; size: number; proof: readonly Uint8Array[]; root: Uint8Array },
  sha256: Sha256,
): boolean {
  const { index, size } = claim;
  if (!isCount(index) || !isCount(size) || index >= size) return false;
  let fn = index;
  let sn = size - 1;
  let hash = leafHash(claim.leaf, sha256);
  for (const step of claim.proof) {
    if (sn === 0) return false;
    if (fn % 2 === 1 || fn === sn) {
      hash = nodeHash(step, hash, sha256);
      while (fn % 2 === 0 && fn !== 0) [fn, sn] = [half(fn), half(sn)];
    } else hash = nodeHash(hash, step, sha256);
    [fn, sn] = [half(fn), half(sn)];
  }
  return sn === 0 && equalBytes(hash, claim.root);
}

/**
 * PROOF(first, leaves) of section 2.1.2: what shows that the tree of the first `first` leaves grew into this one and
 * nothing in it was changed. RangeError unless 1 ≤ first ≤ number of leaves.
 */
export function consistencyProof(leaves: readonly Uint8Array[], first: number, sha256: Sha256): Uint8Array[] {
  if (!Number.isInteger(first) || first < 1 || first > leaves.length) {
    throw new RangeError(`no tree of ${first} in one of ${leaves.length}`);
  }
  return subProof(leaves, first, true, sha256);
}

/** SUBPROOF of section 2.1.2; `known` while the old tree's root is itself one of the nodes. */
function subProof(leaves: readonly Uint8Array[], m: number, known: boolean, sha256: Sha256): Uint8Array[] {
  if (m === leaves.length) return known ? [] : [merkleRoot(leaves, sha256)];
  const k = splitOf(leaves.length);
  const [left, right] = [leaves.slice(0, k), leaves.slice(k)];
  return m <= k
    ? [...subProof(left, m, known, sha256), merkleRoot(right, sha256)]
    : [...subProof(right, m - k, false, sha256), merkleRoot(left, sha256)];
}

/** RFC 9162 2.1.4.2: did the tree of `first` leaves with `firstRoot` grow into that of `second` with `secondRoot`? */
export function verifyConsistency(
  claim: {
    first: number;
    firstRoot: Uint8Array;
    second: number;
    secondRoot: Uint8Array;
    proof: readonly Uint8Array[];
  },
  sha256: Sha256,
): boolean {
  const { first, second, firstRoot, secondRoot } = claim;
  if (!isCount(first) || !isCount(second) || first < 1 || first > second) return false;
  if (first === second) return claim.proof.length === 0 && equalBytes(firstRoot, secondRoot);
  if (claim.proof.length === 0) return false;
  // A whole power of two is itself the first node of the path.
  const path = isPowerOfTwo(first) ? [firstRoot, ...claim.proof] : [...claim.proof];
  let [fn, sn] = [first - 1, second - 1];
  while (fn % 2 === 1) [fn, sn] = [half(fn), half(sn)];
  let [oldHash, newHash] = [path[0]!, path[0]!];
  for (const step of path.slice(1)) {
    if (sn === 0) return false;
    if (fn % 2 === 1 || fn === sn) {
      oldHash = nodeHash(step, oldHash, sha256);
      newHash = nodeHash(step, newHash, sha256);
      while (fn % 2 === 0 && fn !== 0) [fn, sn] = [half(fn), half(sn)];
    } else newHash = nodeHash(newHash, step, sha256);
    [fn, sn] = [half(fn), half(sn)];
  }
  return sn === 0 && equalBytes(oldHash, firstRoot) && equalBytes(newHash, secondRoot);
}

function leafHash(leaf: Uint8Array, sha256: Sha256): Uint8Array {
  const input = new Uint8Array(1 + leaf.length);
  input[0] = LEAF;
  input.set(leaf, 1);
  return sha256(input);
}

function nodeHash(left: Uint8Array, right: Uint8Array, sha256: Sha256): Uint8Array {
  const input = new Uint8Array(1 + left.length + right.length);
  input[0] = NODE;
  input.set(left, 1);
  input.set(right, 1 + left.length);
  return sha256(input);
}

/** The largest power of two below n, n > 1. */
function splitOf(n: number): number {
  let k = 1;
  while (2 * k < n) k *= 2;
  return k;
}

// Not `>> 1`: a stream may outgrow 32 bits.
const half = (n: number): number => Math.floor(n / 2);
const isCount = (n: number): boolean => Number.isSafeInteger(n) && n >= 0;
const isPowerOfTwo = (n: number): boolean => splitOf(2 * n) === n;

function equalBytes(a: Uint8Array, b: Uint8Array): boolean {
  return a.length === b.length && a.every((byte, i) => byte === b[i]);
}

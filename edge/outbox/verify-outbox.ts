/**
 * Everything an outbox holds, checked from its first batch to its newest: the hash chain, what is left of reduced
 * batches, every seal's signature and order, and the root of the batches it covers. Reads only.
 */
import { fromHex, toHex } from '#core/record/hex';
import { EMPTY_FRONTIER, frontierRoot, growFrontier, type MerkleFrontier } from '#core/record/merkle-tree';
import type { Seal } from '#core/record/seal';
import { followProblem, positionAfter, readSeal, type SealPosition } from '#core/record/seal-verify';
import { nodeSealCrypto } from '../seal/node-seal-crypto.ts';
import { problemOf } from './chain-check.ts';
import type { Statements } from './statements.ts';

export interface OutboxReport {
  readonly stream: string;
  readonly fits: boolean;
  /** The first thing that does not fit, as one sentence. */
  readonly problem: string | null;
  readonly batches: number;
  readonly reduced: number;
  readonly seals: number;
  /** Keys that signed, by their fingerprints, in the order they came. */
  readonly keys: readonly string[];
}

/** Batch hashes read at a time. */
const PAGE = 5000;

export function verifyOutbox(statements: Statements): OutboxReport {
  const stream = statements.stream.get() ?? '';
  const walk = new SealWalk(statements);
  let [batches, reduced, seq, prev] = [0, 0, 0, ''];
  const report = (problem: string | null): OutboxReport => ({
    ...{ stream, fits: problem === null, problem, batches, reduced },
    ...{ seals: walk.seals, keys: [...walk.keys] },
  });
  for (const row of statements.from.iterate(1, Number.MAX_SAFE_INTEGER)) {
    if (batches === 0) {
      walk.first = row.seq;
      seq = row.seq;
      prev = row.seq === 1 ? '0'.repeat(64) : row.prev;
    }
    const problem = problemOf(row, stream, seq, prev);
    if (problem !== null) return report(`The chain breaks: ${problem}.`);
    const sealed = walk.problemIn(sealsOf(row.body), row.seq);
    if (sealed !== null) return report(sealed);
    batches++;
    if (row.reduced_to !== null) reduced++;
    seq += 1;
    prev = row.hash;
  }
  return report(null);
}

function sealsOf(body: string): readonly unknown[] {
  const { seals } = JSON.parse(body === '' ? '{}' : body) as { seals?: readonly unknown[] };
  return seals ?? [];
}

class SealWalk {
  first = 1;
  seals = 0;
  readonly keys = new Set<string>();
  private readonly statements: Statements;
  private position: SealPosition | null = null;
  private tree: { readonly firstSeq: number; readonly frontier: MerkleFrontier } = {
    firstSeq: 0,
    frontier: EMPTY_FRONTIER,
  };

  constructor(statements: Statements) {
    this.statements = statements;
  }

  problemIn(seals: readonly unknown[], seq: number): string | null {
    for (const signed of seals) {
      const read = readSeal(signed, nodeSealCrypto);
      if (typeof read === 'string') return `A seal in batch ${seq}: ${read}.`;
      const isFirstHere = this.position === null && this.first > 1;
      const problem =
        (isFirstHere ? null : followProblem(read, this.position)) ?? this.rootProblem(read.seal);
      if (problem !== null) return `Seal ${read.seal.number}, in batch ${seq}: ${problem}.`;
      this.position = positionAfter(read);
      this.seals++;
      this.keys.add(read.seal.keyId);
    }
    return null;
  }

  private rootProblem({ kind, firstSeq, lastSeq, root }: Seal): string | null {
    // What a store begins after can be covered by a seal and not be here.
    if (firstSeq < this.first) return null;
    const known = kind !== 'pass' && this.tree.firstSeq === firstSeq ? this.tree.frontier : EMPTY_FRONTIER;
    const frontier = this.grown(known, firstSeq, lastSeq);
    const isRoot = toHex(frontierRoot(frontier, nodeSealCrypto.sha256)) === root;
    if (!isRoot) return `the root of batches ${firstSeq} to ${lastSeq} is another one`;
    if (kind !== 'pass') this.tree = { firstSeq, frontier };
    return null;
  }

  private grown(known: MerkleFrontier, firstSeq: number, lastSeq: number): MerkleFrontier {
    let frontier = known;
    for (let next = firstSeq + frontier.size; next <= lastSeq; next = firstSeq + frontier.size) {
      const page = this.statements.hashes.all(next, lastSeq, PAGE);
      if (page.length === 0) return frontier;
      const leaves = page.map(hash => fromHex(hash) ?? new Uint8Array(0));
      frontier = growFrontier(frontier, leaves, nodeSealCrypto.sha256);
    }
    return frontier;
  }
}

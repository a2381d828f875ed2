/**
 * The seals of one stream, in the order in which its records carry them: each signature, each follows the one before,
 * and each root is that of the batches that are here. The tree of the whole stream grows beside the walk, so that a
 * store of any size is walked with a few hashes in memory.
 */
import type { VerifyProblem } from '#core/messages/api-verify';
import { fromHex, toHex } from '#core/record/hex';
import { EMPTY_FRONTIER, frontierRoot, growFrontier, type MerkleFrontier } from '#core/record/merkle-tree';
import {
  coverProblem,
  followProblem,
  positionAfter,
  type ReadSeal,
  readSeal,
  type SealPosition,
  shortKey,
} from '#core/record/seal-verify';
import { nodeSealCrypto } from '../ingest/node-seal-crypto.ts';
import { streamName } from './check-record.ts';
import { sameJson } from './check-shown.ts';
import type { Tally } from './tally.ts';
import { verifyProblem } from './verify-problem.ts';
import type { StreamRow, VerifyReader } from './verify-reader.ts';

export class SealWalk {
  private readonly reader: VerifyReader;
  private readonly stream: StreamRow;
  private readonly tally: Tally;
  private readonly name: string;
  private position: SealPosition | null = null;
  private frontier: MerkleFrontier = EMPTY_FRONTIER;
  /** The first batch of that tree. */
  private treeFirst = 1;
  /** Hash of the batch the tree has grown to. */
  private newest: string | null = null;
  /** Everything to here lies under a root that fits. */
  private sealedTo = 0;
  private readonly sealedPasses = new Set<string>();
  private readonly reductions = new Map<string, { count: number; last: number }>();

  constructor(reader: VerifyReader, stream: StreamRow, tally: Tally) {
    this.reader = reader;
    this.stream = stream;
    this.tally = tally;
    this.name = streamName(stream);
  }

  /** The first of the seals in record `seq` that does not hold. */
  problemIn(seq: number, seals: readonly unknown[]): VerifyProblem | null {
    const kept = this.reader.keptSeals(this.stream.id, seq);
    for (const [place, signed] of seals.entries()) {
      const read = readSeal(signed, nodeSealCrypto);
      const text = typeof read === 'string' ? read : this.problemOf(read, seq);
      const { site, rig, stream } = this.stream;
      const where = { site, rig, stream, seq };
      if (typeof read === 'string')
        return verifyProblem('seal', `A seal in record ${seq} of ${this.name}: ${text}.`, where);
      const passId = read.seal.kind === 'pass' ? read.seal.pass.passId : null;
      const what =
        passId === null ? `Seal ${read.seal.number}` : `Seal ${read.seal.number}, of pass ${passId},`;
      if (text !== null)
        return verifyProblem('seal', `${what} of ${this.name}: ${text}.`, { ...where, passId });
      if (!sameJson(kept[place] ?? '', signed)) {
        const other = `${what} of ${this.name} is not the one this store keeps as its witness.`;
        return verifyProblem('seal', other, { ...where, passId });
      }
      this.position = positionAfter(read);
      this.tally.checked.seals++;
      this.tally.key(`${site}/${rig}`, read.seal.keyId);
      if (passId !== null) this.sealedPasses.add(passId);
    }
    return null;
  }

  /** A seal that was received and whose record is no longer here: the store is shorter than what it witnessed. */
  cutOff(last: number): VerifyProblem | null {
    const seq = this.reader.sealWithoutRecord(this.stream.id, last);
    if (seq === null) return null;
    const { site, rig, stream } = this.stream;
    const text = `Record ${last + 1} of ${this.name} is missing: a seal that came in record ${seq} is here.`;
    return verifyProblem('head', text, { site, rig, stream, seq: last + 1 });
  }

  /** A batch whose samples gave way. */
  reduced(seq: number, to: string): void {
    const count = (this.reductions.get(to)?.count ?? 0) + 1;
    this.reductions.set(to, { count, last: seq });
  }

  /** What is to be said at the end of a stream that fits; `closed`: ids of its closed passes. */
  finish(highest: number, closed: ReadonlySet<string>): void {
    for (const [to, { count, last }] of this.reductions) {
      const batches = count === 1 ? '1 record' : `${count} records`;
      const intact = last <= this.sealedTo ? 'root intact' : 'chain intact';
      this.tally.note(`${this.name}: ${batches} ${to}, ${intact}.`);
    }
    const unsealed = [...closed].filter(passId => !this.sealedPasses.has(passId)).length;
    if (this.position !== null && unsealed > 0) {
      const passes = unsealed === 1 ? '1 closed pass carries' : `${unsealed} closed passes carry`;
      this.tally.note(`${this.name}: ${passes} no seal, or not yet.`);
    }
    if (this.position === null) this.tally.note(`${this.name} carries no seals: only its chain was checked.`);
    else if (this.sealedTo < highest) {
      this.tally.note(`${this.name}: records after ${this.sealedTo} are not sealed yet.`);
    }
  }

  private problemOf(read: ReadSeal, seq: number): string | null {
    const { seal } = read;
    const { site, rig, stream, first } = this.stream;
    if (seal.site !== site || seal.rig !== rig || seal.stream !== stream)
      return 'it belongs to another stream';
    if (seal.lastSeq >= seq) return 'it covers batches that came after it';
    // None is pinned until the first seal of a rig has been checked.
    const keys = this.reader.sealKeys(this.stream);
    if (keys.length > 0 && !keys.some(({ keyId }) => keyId === seal.keyId)) {
      return `it is signed by key ${shortKey(seal.keyId)}, which is not that of ${site}/${rig}`;
    }
    // A store set up after the edge began has no first seal to begin with.
    const isTakenUp = this.position === null && first !== 1;
    const follows = isTakenUp ? null : followProblem(read, this.position);
    if (follows !== null) return follows;
    if (seal.kind === 'pass') return this.passProblem(read, seq);
    if (first !== null && first <= seal.firstSeq) return this.treeProblem(seal);
    // Without its leading batches the root cannot be checked, and the chain at its end can.
    this.tally.note(
      `${this.name} begins with record ${first}: roots of the whole stream cannot be checked here.`,
    );
    return this.reader.hashOf(this.stream.id, seal.lastSeq) === seal.head
      ? null
      : `the chain at batch ${seal.lastSeq} is another one`;
  }

  private passProblem({ seal }: ReadSeal, seq: number): string | null {
    if (seal.kind !== 'pass') return null;
    const covered = coverProblem(seal, this.hashesOf(seal.firstSeq, seal.lastSeq), nodeSealCrypto);
    if (covered !== null) return covered;
    const shown = this.reader.pass(this.stream.id, seal.pass.passId);
    if (!shown) return 'its pass is not shown';
    return shown.seq > seq || sameJson(shown.message, seal.pass) ? null : 'its pass is not the one shown';
  }

  private treeProblem({ root, head, firstSeq, lastSeq }: ReadSeal['seal']): string | null {
    if (firstSeq !== this.treeFirst) {
      this.treeFirst = firstSeq;
      this.frontier = EMPTY_FRONTIER;
      this.newest = null;
    }
    const size = lastSeq - firstSeq + 1;
    for (let more = true; more && this.frontier.size < size; ) {
      const page = this.reader.hashes(this.stream.id, firstSeq - 1 + this.frontier.size, lastSeq);
      const leaves = page.flatMap(({ hash }) => fromHex(hash) ?? []);
      this.frontier = growFrontier(this.frontier, leaves, nodeSealCrypto.sha256);
      this.newest = page.at(-1)?.hash ?? this.newest;
      more = page.length > 0;
    }
    const isRoot = toHex(frontierRoot(this.frontier, nodeSealCrypto.sha256)) === root;
    if (!isRoot || this.frontier.size !== size) {
      return `the root of batches ${firstSeq} to ${lastSeq} is another one`;
    }
    if (size > 0 && this.newest !== head) return `the chain at batch ${lastSeq} is another one`;
    this.sealedTo = lastSeq;
    return null;
  }

  private hashesOf(firstSeq: number, lastSeq: number): string[] {
    const hashes: string[] = [];
    for (let after = firstSeq - 1; after < lastSeq; ) {
      const page = this.reader.hashes(this.stream.id, after, lastSeq);
      if (page.length === 0) break;
      for (const { hash } of page) hashes.push(hash);
      after = page.at(-1)!.seq;
    }
    return hashes;
  }
}

/**
 * Makes this stream's seals: looks up the batches they cover, keeps the tree of the whole stream, chains and signs.
 *
 * Invariants
 * - a seal covers committed batches only;
 * - `sign` is synchronous: the seal it returns and `statePatch` belong into one batch, so that a kill in between
 *   leaves neither, and the same number is never told twice with two contents.
 */
import { z } from 'zod';
import { sha256HexSchema } from '#core/messages/common';
import { CHAIN_START } from '#core/record/chain';
import { fromHex, toHex } from '#core/record/hex';
import { EMPTY_FRONTIER, frontierRoot, growFrontier, type MerkleFrontier } from '#core/record/merkle-tree';
import { publicKeySchema, type Seal, type SignedSeal, sealText } from '#core/record/seal';
import type { RigAddress } from '#core/topics/topics';
import type { RecordClock } from '../clock/record-clock.ts';
import { type StatePatch, StoreError } from '../outbox/outbox-types.ts';
import { sha256 } from './node-seal-crypto.ts';
import type { SealKey } from './seal-key.ts';

/** What the store has to tell of its batches. */
export interface BatchHashes {
  /** Hashes of the batches `fromSeq` to `toSeq` in order, at most `limit`. */
  hashes(fromSeq: number, toSeq: number, limit: number): Promise<string[]>;
  /** The first batch that was closed at or after a record time; one behind the newest where none was. */
  firstSeqSince(recordUs: number): Promise<number>;
}

export interface SealMakerOptions {
  readonly batches: BatchHashes;
  readonly key: SealKey;
  readonly address: RigAddress;
  readonly origin: Seal['origin'];
  readonly stream: string;
  readonly software: string;
  readonly clock: Pick<RecordClock, 'nowUs' | 'utcOf' | 'reading'>;
  /** State of the store as opened. */
  readonly state: Readonly<Record<string, string>>;
}

/** The batches under a seal. */
export type Cover = Pick<Seal, 'firstSeq' | 'lastSeq' | 'root' | 'head'>;

type Content<S extends Seal> = S extends Seal
  ? Pick<S, 'kind' | Exclude<keyof S, keyof Extract<Seal, { kind: 'checkpoint' }>>>
  : never;
/** What makes a seal the kind it is. */
export type SealContent = Content<Seal>;

const POSITION = 'sealPosition';
const TREE = 'sealTree';
/** Batches asked for at a time: the worker is never kept from a commit for long. */
const PAGE = 1000;

const positionSchema = z.strictObject({
  number: z.int().positive(),
  hash: sha256HexSchema,
  /** Has to sign the next seal. */
  publicKey: publicKeySchema,
  lastSeq: z.int().nonnegative(),
});
const treeSchema = z.strictObject({
  firstSeq: z.int().positive(),
  size: z.int().nonnegative(),
  peaks: z.array(sha256HexSchema),
  head: sha256HexSchema,
});

interface StreamTree {
  readonly firstSeq: number;
  readonly frontier: MerkleFrontier;
  readonly head: string;
}

export class SealMaker {
  private readonly options: SealMakerOptions;
  private position: z.infer<typeof positionSchema> | null;
  private tree: StreamTree | null;
  private isSaved = true;

  constructor(options: SealMakerOptions) {
    this.options = options;
    this.position = positionOf(options.state);
    this.tree = treeOf(options.state);
  }

  /** The key that the last seal left in force; null in a stream without seals. */
  get announcedKey(): string | null {
    return this.position?.publicKey ?? null;
  }

  /** The newest batch under any seal. */
  get sealedUpTo(): number {
    return this.position?.lastSeq ?? 0;
  }

  /** Every batch up to `upto` that can hold a sample since `fromUs`. */
  async coverSince(fromUs: number, upto: number): Promise<Cover> {
    const firstSeq = Math.min(await this.options.batches.firstSeqSince(fromUs), upto);
    const { frontier, head } = await this.grown(
      { firstSeq, frontier: EMPTY_FRONTIER, head: CHAIN_START },
      upto,
    );
    return { firstSeq, lastSeq: upto, root: toHex(frontierRoot(frontier, sha256)), head };
  }

  /** The whole stream up to `upto`; only what is new since the last time is read. */
  async coverStream(upto: number): Promise<Cover> {
    const tree = this.tree ?? {
      firstSeq: Math.min(await this.options.batches.firstSeqSince(0), upto + 1),
      frontier: EMPTY_FRONTIER,
      head: CHAIN_START,
    };
    this.tree = await this.grown(tree, upto);
    const { firstSeq, frontier, head } = this.tree;
    return { firstSeq, lastSeq: upto, root: toHex(frontierRoot(frontier, sha256)), head };
  }

  /** The next seal of the stream. */
  sign(cover: Cover, content: SealContent): SignedSeal {
    const { address, origin, stream, software, clock, key } = this.options;
    const recordUs = clock.nowUs();
    const number = (this.position?.number ?? 0) + 1;
    const seal = {
      schema: 'girthlog.seal/1',
      origin,
      site: address.site,
      rig: address.rig,
      stream,
      number,
      prev: this.position?.hash ?? CHAIN_START,
      ...cover,
      recordUs,
      at: clock.utcOf(recordUs),
      clock: clock.reading(),
      software,
      keyId: key.keyId,
      ...content,
    } satisfies Seal;
    const bytes = Buffer.from(sealText(seal), 'utf8');
    this.position = {
      number,
      hash: toHex(sha256(bytes)),
      publicKey: content.kind === 'key' ? content.publicKey : key.publicKey,
      lastSeq: cover.lastSeq,
    };
    this.isSaved = false;
    return { seal, publicKey: key.publicKey, signature: toHex(key.sign(bytes)) };
  }

  /** What the batch that carries the newest seal saves with it. */
  statePatch(): StatePatch {
    if (this.isSaved) return {};
    this.isSaved = true;
    const { position, tree } = this;
    return {
      ...(position ? { [POSITION]: JSON.stringify(position) } : {}),
      ...(tree ? { [TREE]: treeText(tree) } : {}),
    };
  }

  private async grown(from: StreamTree, upto: number): Promise<StreamTree> {
    let { frontier, head } = from;
    for (let next = from.firstSeq + frontier.size; next <= upto; next = from.firstSeq + frontier.size) {
      const page = await this.options.batches.hashes(next, upto, PAGE);
      const last = page.at(-1);
      if (!last) throw new StoreError('failed', `batch ${next} is missing: it cannot be sealed`);
      frontier = growFrontier(frontier, page.map(bytesOf), sha256);
      head = last;
    }
    return { firstSeq: from.firstSeq, frontier, head };
  }
}

function bytesOf(hash: string): Uint8Array {
  const bytes = fromHex(hash);
  if (!bytes) throw new StoreError('failed', 'a batch has no hash');
  return bytes;
}

function positionOf(state: SealMakerOptions['state']): z.infer<typeof positionSchema> | null {
  const text = state[POSITION];
  return text === undefined ? null : positionSchema.parse(JSON.parse(text));
}

/** The key in force by the last seal in the store; null where there is none. */
export function announcedKeyOf(state: SealMakerOptions['state']): string | null {
  return positionOf(state)?.publicKey ?? null;
}

function treeText({ firstSeq, frontier, head }: StreamTree): string {
  return JSON.stringify({ firstSeq, size: frontier.size, peaks: frontier.peaks.map(toHex), head });
}

function treeOf(state: SealMakerOptions['state']): StreamTree | null {
  const text = state[TREE];
  if (text === undefined) return null;
  const { firstSeq, size, peaks, head } = treeSchema.parse(JSON.parse(text));
  return { firstSeq, frontier: { size, peaks: peaks.map(bytesOf) }, head };
}

/**
 * Every seal that has come is checked, once everything before it is here: signature, key, order, the batches it covers,
 * the pass it holds. Beside the intake, a page of batches at a time, so that no commit and no screen waits for it.
 *
 * Invariants
 * - a seal is settled exactly once, in order along its stream; what was not settled when the program ended is later;
 * - the first key a rig is seen with is pinned. Another becomes trusted only by a seal of the pinned one.
 */
import { canonicalJson } from '#core/record/canonical-json';
import { CHAIN_START } from '#core/record/chain';
import { fromHex } from '#core/record/hex';
import { EMPTY_FRONTIER, growFrontier, type MerkleFrontier } from '#core/record/merkle-tree';
import type { Seal } from '#core/record/seal';
import {
  coverProblem,
  followProblem,
  keyIdOf,
  positionAfter,
  type ReadSeal,
  readSeal,
  shortKey,
} from '#core/record/seal-verify';
import type { SetCondition } from '../health/truck-conditions.ts';
import type { ReportEvent } from '../internal-events.ts';
import type { SealKeyRow } from '../store/seal-key-table.ts';
import type { SealProgress, SealResult, SealTable, WaitingSeal } from '../store/seal-table.ts';
import { storeErrorKind } from '../store/store-errors.ts';
import { nodeSealCrypto } from './node-seal-crypto.ts';

export interface SealCheckOptions {
  readonly store: { readonly seals: SealTable };
  readonly report: ReportEvent;
  readonly now: () => Date;
  /** What is wrong at the truck, as long as it is true. */
  readonly set: SetCondition;
  /** The store cannot be used: tried again when the next record comes. */
  readonly onStoreError: (error: Error) => void;
}

/** Hashes read and put into a tree at a time; about 10 ms. */
const PAGE = 2000;

interface Found {
  readonly read: ReadSeal | null;
  readonly problem: string | null;
  /** Not every sealed batch is here. */
  readonly partly?: string;
  readonly progress?: SealProgress;
  /** It came with a key that is not the rig's. */
  readonly foreignKeyId?: string;
  readonly keys?: readonly SealKeyRow[];
}

export class SealCheck {
  private readonly options: SealCheckOptions;
  private running: Promise<void> | null = null;
  private again = false;
  private stopped = false;

  constructor(options: SealCheckOptions) {
    this.options = options;
  }

  /** Goes on where an earlier run ended. */
  start(): void {
    this.tellRefused();
    this.wake();
  }

  /** Says on every screen, until somebody has decided, that a rig signs with a key that is not its own. */
  tellRefused(): void {
    const refused = this.options.store.seals.refused();
    const rigs = [...new Set(refused.map(({ site, rig }) => `${site}/${rig}`))];
    const keys = refused.map(({ keyId }) => shortKey(keyId)).join(', ');
    const text = `Records of ${rigs.join(', ')} are signed with a key that the rig’s own has not announced: ${keys}.`;
    this.options.set(
      'sealKeyRefused',
      refused.length === 0
        ? null
        : {
            priority: 'high',
            text: text.slice(0, 300),
            action:
              'Find out whether its board or key file was exchanged: compare with "girthlog-edge key show" at the rig.',
          },
    );
  }

  /** A person has decided about a key. */
  decided(): void {
    this.tellRefused();
    this.wake();
  }

  /** Something was stored. */
  wake(): void {
    this.again = true;
    if (this.running || this.stopped) return;
    this.running = this.work().finally(() => {
      this.running = null;
    });
  }

  /** Resolves when nothing is being checked. */
  async settled(): Promise<void> {
    while (this.running) await this.running;
  }

  async stop(): Promise<void> {
    this.stopped = true;
    await this.settled();
  }

  private async work(): Promise<void> {
    try {
      while (this.again && !this.stopped) {
        this.again = false;
        for (let seal = this.next(); seal && !this.stopped; seal = this.next()) await this.settle(seal);
      }
    } catch (error) {
      this.options.onStoreError(error as Error);
    }
  }

  private next(): WaitingSeal | null {
    return this.options.store.seals.nextWaiting();
  }

  private async settle(seal: WaitingSeal): Promise<void> {
    const { store, report } = this.options;
    const { read, problem, partly, progress, foreignKeyId, keys = [] } = await this.checked(seal);
    const state = problem !== null ? 'failed' : partly !== undefined ? 'partly' : 'verified';
    const result: SealResult = {
      state,
      problem: problem ?? partly ?? null,
      read,
      progress: progress ?? null,
      keys,
    };
    const missing = problem === null && read && progress ? this.unsealed(seal, read.seal, progress) : null;
    store.seals.settle(seal, missing ? { ...result, progress: missing.progress } : result);
    const where = { site: seal.site, rig: seal.rig, stream: seal.stream, seq: seal.seq };
    if (problem !== null) report('sealFailed', { ...where, problem });
    else report('sealVerified', { ...where, state });
    if (foreignKeyId !== undefined) {
      report('sealKeyRefused', { ...where, keyId: foreignKeyId });
      this.tellRefused();
    }
    for (const { keyId, how } of keys.filter(key => key.state === 'pinned')) {
      report(how === 'announced' ? 'sealKeyRotated' : 'sealKeyPinned', { ...where, keyId });
    }
    for (const passId of missing?.passIds ?? []) report('passUnsealed', { ...where, passId });
  }

  /** Whatever a seal holds, those behind it are checked as well. */
  private async checked(seal: WaitingSeal): Promise<Found> {
    try {
      return await this.check(seal);
    } catch (error) {
      if (storeErrorKind(error) !== null) throw error;
      return { read: null, problem: `it could not be checked: ${(error as Error).message}`.slice(0, 300) };
    }
  }

  private async check(seal: WaitingSeal): Promise<Found> {
    const read = readSeal(seal.signed, nodeSealCrypto);
    if (typeof read === 'string') return { read: null, problem: read };
    const { site, rig, stream, origin, number, lastSeq } = read.seal;
    if (site !== seal.site || rig !== seal.rig || stream !== seal.stream) {
      return { read: null, problem: 'it belongs to another rig or stream than the record it came in' };
    }
    if (origin !== seal.origin) return { read: null, problem: 'it names another origin than its stream' };
    if (lastSeq >= seal.seq) return { read: null, problem: 'it seals batches that come after it' };
    const trust = this.trust(seal, read);
    if (typeof trust === 'string') {
      const { keyId } = read.seal;
      const isKnown = this.options.store.seals.keys(seal).some(key => key.keyId === keyId);
      const keys = isKnown ? [] : [this.keyRow(read.publicKey, 'refused', 'unannounced')];
      return { read, problem: trust, foreignKeyId: keyId, keys };
    }
    const before = this.options.store.seals.progress(seal.streamId);
    // Taken up after its beginning: earlier seals are not in this store either.
    const beginsHere = before.position === null && number > 1 && seal.firstSeq > 1;
    const follows = beginsHere ? null : followProblem(read, before.position);
    const cover = await this.cover(seal, read.seal, before);
    const pass = read.seal.kind === 'pass' ? this.passProblem(read.seal.pass) : null;
    const progress: SealProgress = {
      ...before,
      // Behind a break the next seal is held against this one, so that a break is told once, where it is.
      position: positionAfter(read),
      tree: cover.tree ?? before.tree,
      lookedUpTo: before.lookedUpTo ?? lastSeq,
    };
    const problem = follows ?? cover.problem ?? pass;
    const partly = cover.partly ?? undefined;
    const keys = this.changedKeys(seal, read, trust, follows === null);
    return { read, problem, progress, keys, ...(partly === undefined ? {} : { partly }) };
  }

  /** The key that has signed this, pinned here where the rig has none yet; or why it is not to be trusted. */
  private trust(seal: WaitingSeal, { seal: document, publicKey }: ReadSeal): SealKeyRow | string {
    const pinned = this.options.store.seals.keys(seal).find(({ state }) => state === 'pinned');
    if (!pinned) return this.keyRow(publicKey, 'pinned', 'firstSeen');
    if (pinned.publicKey === publicKey) return pinned;
    const [is, was] = [document.keyId, pinned.keyId].map(shortKey);
    return `it is signed by key ${is}, which is not this rig’s: ${was} is, and has not announced it`;
  }

  /** Keys whose standing changes by a seal of `signer`; a handover counts only in its place. */
  private changedKeys(
    seal: WaitingSeal,
    { seal: document, publicKey }: ReadSeal,
    signer: SealKeyRow,
    inPlace: boolean,
  ): SealKeyRow[] {
    if (inPlace && document.kind === 'key' && document.publicKey !== publicKey) {
      return [{ ...signer, state: 'retired' }, this.keyRow(document.publicKey, 'pinned', 'announced')];
    }
    const isKnown = this.options.store.seals.keys(seal).some(({ keyId }) => keyId === signer.keyId);
    return isKnown ? [] : [signer];
  }

  private keyRow(publicKey: string, state: SealKeyRow['state'], how: SealKeyRow['how']): SealKeyRow {
    const since = this.options.now().toISOString();
    const keyId = keyIdOf(publicKey, nodeSealCrypto);
    return { keyId, publicKey, state, how, since, decidedBy: null, reason: null };
  }

  private async cover(
    { streamId, firstSeq: here }: WaitingSeal,
    seal: Seal,
    before: SealProgress,
  ): Promise<{ problem: string | null; partly?: string; tree?: SealProgress['tree'] }> {
    const { firstSeq, lastSeq, head } = seal;
    const { seals } = this.options.store;
    const atHead = lastSeq === 0 ? CHAIN_START : (seals.hashes(streamId, lastSeq, lastSeq, 1)[0] ?? null);
    if (atHead !== null && atHead !== head) {
      return { problem: `the chain at batch ${lastSeq} is another one` };
    }
    if (firstSeq < here && lastSeq >= firstSeq) {
      const partly = `batches ${firstSeq} to ${here - 1} are not in this store, so the root cannot be checked here`;
      return { problem: null, partly };
    }
    const whole = seal.kind !== 'pass';
    const known =
      whole && before.tree?.firstSeq === firstSeq && before.tree.frontier.size <= lastSeq - firstSeq + 1
        ? before.tree.frontier
        : EMPTY_FRONTIER;
    const frontier = await this.grow(streamId, firstSeq, lastSeq, known);
    const problem = coverProblem(seal, [], nodeSealCrypto, frontier);
    return { problem, ...(whole && problem === null ? { tree: { firstSeq, frontier } } : {}) };
  }

  private async grow(
    streamId: number,
    firstSeq: number,
    lastSeq: number,
    known: MerkleFrontier,
  ): Promise<MerkleFrontier> {
    let frontier = known;
    for (let next = firstSeq + frontier.size; next <= lastSeq; next = firstSeq + frontier.size) {
      const page = this.options.store.seals.hashes(streamId, next, lastSeq, PAGE);
      if (page.length === 0) return frontier;
      const leaves = page.map(hash => fromHex(hash) ?? new Uint8Array(0));
      frontier = growFrontier(frontier, leaves, nodeSealCrypto.sha256);
      await new Promise(resolve => setImmediate(resolve));
    }
    return frontier;
  }

  private passProblem(pass: Extract<Seal, { kind: 'pass' }>['pass']): string | null {
    const recorded = this.options.store.seals.recordedPass(pass.passId);
    if (!recorded) return 'the sealed pass is not on record';
    return canonicalJson(recorded) === canonicalJson(pass)
      ? null
      : 'the pass on record is another than the sealed one';
  }

  /** By the second head behind it a closed pass has its seal, or it never gets one. */
  private unsealed(
    { streamId }: WaitingSeal,
    seal: Seal,
    progress: SealProgress,
  ): { passIds: string[]; progress: SealProgress } | null {
    if (seal.kind === 'pass' || progress.lookedUpTo === null) return null;
    const lookedUpTo = Math.max(progress.lookedUpTo, progress.headSeq);
    const passIds = this.options.store.seals.unsealed(streamId, progress.lookedUpTo, lookedUpTo);
    return { passIds, progress: { ...progress, lookedUpTo, headSeq: seal.lastSeq } };
  }
}

/** Seals made and checked with node:crypto, independently of what edge and dashboard do: for tests of both. */
import { createHash, createPublicKey, generateKeyPairSync, type KeyObject, sign, verify } from 'node:crypto';
import type { PassMessage } from '#core/messages/pass';
import type { RecordMessage } from '#core/messages/record';
import { canonicalJson } from '#core/record/canonical-json';
import { CHAIN_START } from '#core/record/chain';
import type { PassSeal, Seal, SignedSeal } from '#core/record/seal';
import type { SealCrypto } from '#core/record/seal-verify';
import { type BodyParts, START_MS, STREAM, seal, testBody, testChunk, testPass } from './test-records.ts';

const bytesOf = (text: string): Uint8Array => Buffer.from(text, 'utf8');

export const testCrypto: SealCrypto = {
  sha256: bytes => createHash('sha256').update(bytes).digest(),
  utf8: bytesOf,
  verifySignature: (publicKey, message, signature) => {
    const x = Buffer.from(publicKey).toString('base64url');
    const key = createPublicKey({ format: 'jwk', key: { kty: 'OKP', crv: 'Ed25519', x } });
    return verify(null, message, key, signature);
  },
};

export interface TestKey {
  readonly privateKey: KeyObject;
  readonly publicKey: string;
  readonly keyId: string;
}

export function testKey(): TestKey {
  const { privateKey, publicKey } = generateKeyPairSync('ed25519');
  const raw = Buffer.from(publicKey.export({ format: 'jwk' }).x ?? '', 'base64url');
  return {
    privateKey,
    publicKey: raw.toString('hex'),
    keyId: createHash('sha256').update(raw).digest('hex'),
  };
}

export function signSeal(seal: Seal | Record<string, unknown>, key: TestKey): SignedSeal {
  const signature = sign(null, bytesOf(canonicalJson(seal)), key.privateKey).toString('hex');
  return { seal: { ...seal }, publicKey: key.publicKey, signature };
}

export function hashOfSeal(signed: SignedSeal): string {
  return createHash('sha256').update(canonicalJson(signed.seal)).digest('hex');
}

/** MTH of RFC 6962 section 2.1 as it stands there, recursive. */
export function definedRoot(leaves: readonly Uint8Array[]): Buffer {
  const hash = (...parts: Uint8Array[]): Buffer => createHash('sha256').update(Buffer.concat(parts)).digest();
  if (leaves.length === 0) return hash();
  if (leaves.length === 1) return hash(Uint8Array.of(0), leaves[0]!);
  let k = 1;
  while (k * 2 < leaves.length) k *= 2;
  return hash(Uint8Array.of(1), definedRoot(leaves.slice(0, k)), definedRoot(leaves.slice(k)));
}

export function rootOf(hashes: readonly string[]): string {
  return definedRoot(hashes.map(hash => Buffer.from(hash, 'hex'))).toString('hex');
}

/** The part every seal has, over batches with these hashes from `firstSeq` on. */
export function sealHead(
  key: TestKey,
  before: SignedSeal | null,
  hashes: readonly string[],
  firstSeq = 1,
): Omit<Extract<Seal, { kind: 'checkpoint' }>, 'kind'> {
  const number = before ? Number(before.seal['number']) + 1 : 1;
  return {
    schema: 'girthlog.seal/1',
    origin: 'simulated',
    site: 'spread-1',
    rig: 'rig-a',
    stream: STREAM,
    number,
    prev: before ? hashOfSeal(before) : CHAIN_START,
    firstSeq,
    lastSeq: firstSeq + hashes.length - 1,
    root: rootOf(hashes),
    head: hashes.at(-1) ?? CHAIN_START,
    recordUs: START_MS * 1000 + number,
    at: new Date(START_MS).toISOString(),
    clock: { state: 'synced', offsetMs: null },
    software: 'girthlog-edge test',
    keyId: key.keyId,
  };
}

/** A stream's first seal. */
export function firstSeal(key: TestKey): SignedSeal {
  return signSeal({ ...sealHead(key, null, []), kind: 'key', publicKey: key.publicKey }, key);
}

/** An edge's stream as it arrives at a store: records with samples, passes and seals over what came before them. */
export class SealedStream {
  readonly records: RecordMessage[] = [];
  key: TestKey;
  private last: SignedSeal | null = null;

  constructor(key: TestKey) {
    this.key = key;
  }

  get hashes(): string[] {
    return this.records.map(({ hash }) => hash);
  }

  /** One more record; `seals` ride in it. */
  add(parts: BodyParts = {}, seals: readonly SignedSeal[] = []): RecordMessage {
    const seq = this.records.length + 1;
    const chunk = testChunk(START_MS * 1000 + seq * 1e6);
    const body = { ...testBody({ chunk, ...parts }), ...(seals.length > 0 ? { seals } : {}) };
    const record = seal(JSON.stringify(body), seq, this.hashes.at(-1) ?? CHAIN_START);
    this.records.push(record);
    return record;
  }

  /** The next seal of the chain, over all records so far or those from `firstSeq` on. */
  seal(content: SealContent, firstSeq = 1, changes: Partial<Seal> = {}): SignedSeal {
    const head = sealHead(this.key, this.last, this.hashes.slice(firstSeq - 1), firstSeq);
    this.last = signSeal({ ...head, ...content, ...changes }, this.key);
    return this.last;
  }

  /** The first record with the key, then `count` more. */
  begin(count = 3): this {
    this.add({}, [this.seal({ kind: 'key', publicKey: this.key.publicKey })]);
    for (let n = 0; n < count; n++) this.add();
    return this;
  }

  /** A closed pass in a record, its seal in the next. */
  pass(index: number, parts: Partial<PassMessage> = {}, changes: Partial<Seal> = {}): SignedSeal {
    const pass = testPass(index, parts);
    this.add({ passes: [pass] });
    const sealed = this.seal({ kind: 'pass', pass, gaps: [], gapsLeftOut: 0 }, 2, changes);
    this.add({}, [sealed]);
    return sealed;
  }

  checkpoint(): SignedSeal {
    const sealed = this.seal({ kind: 'checkpoint' });
    this.add({}, [sealed]);
    return sealed;
  }
}

type SealContent =
  | { kind: 'checkpoint' }
  | { kind: 'key'; publicKey: string }
  | Pick<PassSeal, 'kind' | 'pass' | 'gaps' | 'gapsLeftOut'>;

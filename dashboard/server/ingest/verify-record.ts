/** A record as it came → one whose hash holds, with its content read as far as it can be. */
import { createHash } from 'node:crypto';
import { type RecordBody, type RecordMessage, recordBodySchema } from '#core/messages/record';
import { recordHashInput, reducedHashInput } from '#core/record/chain';
import { decodeChunk } from '#core/sample/codec';
import type { RigAddress } from '#core/topics/topics';
import type { InternalEvent } from '../internal-events.ts';
import type { VerifiedRecord } from '../store/store.ts';
import { parseJson } from './decode.ts';

export type Verified =
  | { readonly ok: true; readonly record: VerifiedRecord; readonly note: InternalEvent | null }
  | { readonly ok: false; readonly event: InternalEvent };

/**
 * Refused: a wrong hash, another rig, another origin. Kept though it cannot be read: anything whose hash
 * holds, since the edge says that this is what it recorded. A reduced record is checked against the hash of what
 * is left of it; that its own hash is the one the chain has, the records around it and the seals show.
 */
export function verifyRecord(address: RigAddress, message: RecordMessage): Verified {
  const { reduced } = message;
  const input = reduced ? reducedHashInput(message) : recordHashInput(message);
  const hash = createHash('sha256').update(input, 'utf8').digest('hex');
  // Lone surrogates all hash alike, so text that holds one is not what was hashed.
  if (hash !== (reduced?.bodyHash ?? message.hash) || hasLoneSurrogate(message.body))
    return { ok: false, event: 'recordHashMismatch' };
  if (reduced?.to === 'pruned' && message.body === '') {
    return {
      ok: true,
      record: { ...address, message, body: null, samples: null, unreadable: null },
      note: null,
    };
  }
  const parsed = recordBodySchema.safeParse(parseJson(message.body));
  if (!parsed.success) {
    const issue = parsed.error.issues[0];
    const unreadable = `${issue?.path.join('.')}: ${issue?.message}`.slice(0, 300);
    const record = { ...address, message, body: null, samples: null, unreadable };
    return { ok: true, record, note: 'recordBodyUnreadable' };
  }
  const body = parsed.data;
  if (body.site !== address.site || body.rig !== address.rig) return { ok: false, event: 'recordOtherRig' };
  // Only one that says so may hold less than was recorded.
  if ((body.reduced === undefined) !== (reduced === undefined))
    return { ok: false, event: 'recordHashMismatch' };
  if (body.origin !== message.origin) return { ok: false, event: 'recordOriginMismatch' };
  if (body.samples === null) {
    return { ok: true, record: { ...address, message, body, samples: null, unreadable: null }, note: null };
  }
  const samples = decodeSamples(body.samples);
  const unreadable = typeof samples === 'string' ? samples : null;
  return {
    ok: true,
    record: { ...address, message, body, samples: typeof samples === 'string' ? null : samples, unreadable },
    note: unreadable === null ? null : 'chunkUnreadable',
  };
}

/** The chunk, or why it is not one. */
function decodeSamples(samples: NonNullable<RecordBody['samples']>): VerifiedRecord['samples'] | string {
  const bytes = Buffer.from(samples.data, 'base64');
  try {
    const chunk = decodeChunk(bytes);
    if (chunk.n !== samples.n) return `samples: ${chunk.n} decoded, ${samples.n} announced`;
    if (chunk.tUs[0] !== samples.firstUs || chunk.tUs[chunk.n - 1] !== samples.lastUs) {
      return 'samples: times are not those announced';
    }
    for (let i = 1; i < chunk.n; i++) {
      if (!(chunk.tUs[i]! > chunk.tUs[i - 1]!)) return 'samples: times do not increase';
    }
    return { chunk, bytes };
  } catch (error) {
    return `samples: ${(error as Error).message}`;
  }
}

function hasLoneSurrogate(text: string): boolean {
  return /\p{Surrogate}/u.test(text);
}

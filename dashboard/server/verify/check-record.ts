/** One record: is it what was hashed, does it follow the one before, and is what is shown of it what it says? */
import type { VerifyProblem } from '#core/messages/api-verify';
import type { RecordBody } from '#core/messages/record';
import { CHAIN_START, recordHashInput, reducedHashInput } from '#core/record/chain';
import { sha256Hex } from '../seal/ed25519.ts';
import { shownProblem } from './check-shown.ts';
import { readBody } from './read-body.ts';
import { verifyProblem } from './verify-problem.ts';
import type { RecordRow, StreamRow, VerifyReader } from './verify-reader.ts';

export type CheckedRecord =
  | { readonly problem: VerifyProblem }
  /** `body` null where its text cannot be read: its hash is all there is to check. */
  | { readonly problem: null; readonly body: RecordBody | null };

/** How people and sentences call a stream. */
export function streamName({ site, rig, stream }: Pick<StreamRow, 'site' | 'rig' | 'stream'>): string {
  return `${site}/${rig} (stream ${stream.slice(0, 8)})`;
}

/** `before`: the record that came before it here; null where it is the first that is looked at. */
export function checkRecord(
  reader: VerifyReader,
  stream: StreamRow,
  row: RecordRow,
  before: Pick<RecordRow, 'seq' | 'hash'> | null,
): CheckedRecord {
  const found = look(reader, stream, row, before);
  if (!found.problem) return found;
  // The dashboard goes on, and samples may be let go: what was read in several looks may be of two moments.
  const [now] = reader.records(stream.id, row.seq - 1, row.seq);
  return now ? look(reader, stream, now, before) : found;
}

function look(
  reader: VerifyReader,
  stream: StreamRow,
  row: RecordRow,
  before: Pick<RecordRow, 'seq' | 'hash'> | null,
): CheckedRecord {
  const name = `Record ${row.seq} of ${streamName(stream)}`;
  const at = { site: stream.site, rig: stream.rig, stream: stream.stream, seq: row.seq };
  const changed = contentProblem(row, stream.stream);
  if (changed !== null) return { problem: verifyProblem('record', `${name} ${changed}.`, at) };
  const expected = row.seq === 1 ? CHAIN_START : before?.seq === row.seq - 1 ? before.hash : null;
  if (expected !== null && row.prev !== expected) {
    const text = `${name} does not follow the one before it: one of the two is not what was recorded.`;
    return { problem: verifyProblem('record', text, at) };
  }
  const body = readBody(row);
  const shown = body && shownProblem(reader, stream, row, body);
  if (shown) return { problem: { ...shown, ...at, passId: shown.passId, text: `${name}: ${shown.text}` } };
  return { problem: null, body };
}

function contentProblem(row: RecordRow, stream: string): string | null {
  const { seq, prev, hash, body, reducedTo, bodyHash } = row;
  if (reducedTo === null) {
    const isWhole = sha256Hex(recordHashInput({ prev, stream, seq, body })) === hash;
    return isWhole ? null : 'does not carry the hash of its content: something in it was changed';
  }
  const isLeft = sha256Hex(reducedHashInput({ hash, body })) === bodyHash;
  return isLeft ? null : `is ${reducedTo}, and what is left of it was changed`;
}

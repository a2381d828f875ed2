/** What screens and exports read out of tables beside a record: is it what the record says? */

import type { VerifyProblem } from '#core/messages/api-verify';
import type { PassMessage } from '#core/messages/pass';
import type { RecordBody } from '#core/messages/record';
import { canonicalJson } from '#core/record/canonical-json';
import { verifyProblem } from './verify-problem.ts';
import type { RecordRow, StreamRow, VerifyReader } from './verify-reader.ts';

/** The first thing shown that the record does not say; `text` goes on after the record's name. */
export function shownProblem(
  reader: VerifyReader,
  stream: StreamRow,
  row: RecordRow,
  body: RecordBody,
): VerifyProblem | null {
  if (
    body.samples !== null &&
    row.unreadable === null &&
    !isSame(reader.samples(stream.id, row.seq), body.samples.data)
  ) {
    return verifyProblem('record', 'the samples shown are not those recorded.');
  }
  for (const event of body.events) {
    const shown = reader.event(stream.id, event.id);
    if (shown === null) return verifyProblem('record', `event ${event.id} is recorded, and is not shown.`);
    // Of two under one id the first was taken over.
    if (!sameJson(shown, event) && !reader.isBefore(stream.id, row.seq, JSON.stringify(event.id))) {
      return verifyProblem('record', `event ${event.id} is not shown as it is recorded.`);
    }
  }
  for (const pass of body.passes) {
    const problem = isOwn(pass, stream) ? passProblem(reader, stream, row.seq, pass) : null;
    if (problem !== null) return verifyProblem('pass', problem, { passId: pass.passId });
  }
  return null;
}

/** A pass that names another rig or stream was never taken over from the record. */
function isOwn(pass: PassMessage, { site, rig, stream }: StreamRow): boolean {
  return pass.site === site && pass.rig === rig && pass.stream === stream;
}

function passProblem(reader: VerifyReader, stream: StreamRow, seq: number, pass: PassMessage): string | null {
  const shown = reader.pass(stream.id, pass.passId);
  if (!shown || shown.seq < seq) return `pass ${pass.passId} is recorded, and is not shown.`;
  // A later record has it anew; that one is looked at in its turn.
  if (shown.seq > seq) return null;
  const { origin, site, rig, joint } = pass;
  const isThere =
    shown.origin === origin && shown.site === site && shown.rig === rig && shown.joint === joint;
  if (!isThere || !sameJson(shown.message, pass))
    return `pass ${pass.passId} is not shown as it is recorded.`;
  const deviations = reader.deviations(pass.passId);
  const fit =
    deviations.length === pass.deviations.length &&
    deviations.every((one, n) => one.joint === joint && sameJson(one.deviation, pass.deviations[n]));
  return fit ? null : `the deviations of pass ${pass.passId} are not shown as they are recorded.`;
}

/** The same value, in whatever order its members were written. */
export function sameJson(text: string, value: unknown): boolean {
  try {
    return canonicalJson(JSON.parse(text)) === canonicalJson(value);
  } catch {
    return false;
  }
}

function isSame(shown: Uint8Array | null, base64: string): boolean {
  return shown !== null && Buffer.from(shown).equals(Buffer.from(base64, 'base64'));
}

/**
 * One stream: every record and every seal it carries, and whether all are there that the store has acknowledged.
 * Gives way after every page; what it returns is the first thing that does not fit.
 */
import type { VerifyProblem } from '#core/messages/api-verify';
import { checkRecord, streamName } from './check-record.ts';
import { SealWalk } from './seal-walk.ts';
import type { Tally } from './tally.ts';
import { verifyProblem } from './verify-problem.ts';
import type { StreamRow, VerifyReader } from './verify-reader.ts';

export function* checkRecords(
  reader: VerifyReader,
  stream: StreamRow,
  tally: Tally,
): Generator<void, VerifyProblem | null> {
  const { site, rig, first, upto, head } = stream;
  const name = streamName(stream);
  const at = (seq: number) => ({ site, rig, stream: stream.stream, seq });
  // What comes while this runs is for the next time.
  const highest = reader.highest(stream.id);
  const seals = new SealWalk(reader, stream, tally);
  const recorded = new Set<string>();
  const closed = new Set<string>();
  let before: { seq: number; hash: string } | null = null;
  for (let rows = reader.records(stream.id, 0, highest); rows.length > 0; ) {
    for (const row of rows) {
      const missing = firstMissing(stream, before?.seq ?? null, row.seq);
      if (missing !== null) {
        const text = `Record ${missing} of ${name} is missing: ${row.seq} is here.`;
        return verifyProblem('record', text, at(missing));
      }
      const checked = checkRecord(reader, stream, row, before);
      if (checked.problem) return checked.problem;
      if (row.seq === upto && row.hash !== head) {
        const text = `Record ${row.seq} of ${name} is not the one that was acknowledged to the edge.`;
        return verifyProblem('head', text, at(row.seq));
      }
      const sealed = seals.problemIn(row.seq, checked.body?.seals ?? []);
      if (sealed) return sealed;
      for (const { passId, state } of checked.body?.passes ?? []) {
        recorded.add(passId);
        if (state === 'closed') closed.add(passId);
      }
      tally.checked.records++;
      if (row.reducedTo !== null) seals.reduced(row.seq, row.reducedTo);
      before = row;
    }
    yield;
    rows = reader.records(stream.id, before!.seq, highest);
  }
  const last = before?.seq ?? 0;
  if (first !== null && last < upto) {
    const text = `Record ${last + 1} of ${name} is missing: the store has acknowledged everything to ${upto}.`;
    return verifyProblem('head', text, at(last + 1));
  }
  const cut = seals.cutOff(last);
  if (cut) return cut;
  const invented = reader.passIds(stream.id, highest).find(passId => !recorded.has(passId));
  if (invented !== undefined) {
    const text = `Pass ${invented} of ${name} is shown, and no record holds it.`;
    return verifyProblem('pass', text, { ...at(last), seq: null, passId: invented });
  }
  tally.checked.streams++;
  tally.checked.passes += recorded.size;
  seals.finish(highest, closed);
  return null;
}

/** The first number that should stand between two records that do; beyond what is acknowledged holes are no wonder. */
function firstMissing({ first, upto }: StreamRow, before: number | null, seq: number): number | null {
  if (first === null) return null;
  const next = Math.max(before === null ? first : before + 1, first);
  return next < seq && next <= upto ? next : null;
}

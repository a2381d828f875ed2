/** How a rig was proved before and after the work of a shift. */
import { standingOf } from '../journal/entry.ts';
import { rigReadiness } from '../journal/readiness.ts';
import type { ShiftRig, ShiftStanding } from '../messages/api-shift.ts';
import { endOfShift, type ShiftFacts, type ShiftPass, type ShiftRigFacts } from './shift-facts.ts';

type Frame = Pick<ShiftFacts, 'date' | 'toUtc' | 'now'>;

/** `passes` of the rig in the shift, in order; `lastArcUtc` the end of the last of them. */
export function rigProof(
  rig: ShiftRigFacts,
  passes: readonly ShiftPass[],
  lastArcUtc: string | null,
  frame: Frame,
): ShiftRig['verification'] {
  const first = passes[0]?.message;
  const last = passes.at(-1)?.message;
  return {
    before: first ? standingAt(rig, first.startUtc, first.clock.offsetMs) : null,
    after: standingAt(rig, endOfShift(frame), last?.clock.offsetMs ?? null),
    checkedAfter: standingOf(rig.entries, 'verification')
      .filter(({ shiftDate, at }) => shiftDate === frame.date && lastArcUtc !== null && at > lastArcUtc)
      .map(({ at, body: { outcome } }) => ({ check: outcome.check, at, result: outcome.result })),
  };
}

/** By what had been entered until then. */
function standingAt(rig: ShiftRigFacts, at: string, clockOffsetMs: number | null): ShiftStanding {
  const { site, rig: name, channels } = rig;
  const entries = rig.entries.filter(entry => entry.at <= at);
  const { ready, checks, findings } = rigReadiness({
    site,
    rig: name,
    now: at,
    entries,
    channels,
    clockOffsetMs,
    passesWithoutJoint: [],
  });
  const due = checks.flatMap(({ state, dueAt }) => (state === 'valid' && dueAt !== null ? [dueAt] : []));
  return {
    at,
    ready,
    validUntil: due.sort()[0] ?? null,
    missing: checks.filter(({ state }) => state !== 'valid').map(({ check, state }) => ({ check, state })),
    words: findings
      .filter(({ code }) => code.startsWith('check') || code === 'referenceOverdue')
      .map(({ text }) => text),
  };
}

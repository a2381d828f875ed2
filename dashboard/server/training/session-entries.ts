/** What people enter in a session: marks, notes, the self-rating. Each gives the session as it then is. */
import type { NewMark } from '#core/messages/api-training';
import type { TrainingSession } from '#core/training/session';
import { ApiProblem } from '../api/problem.ts';
import { requireState } from './session-steps.ts';

const MOST_MARKS = 500;
const MOST_NOTES = 200;

export interface Marking {
  readonly now: Date;
  readonly id: string;
  /** Where a rig was `agoMs` before now along its side, mm; null where that is not known here. */
  readonly alongMm: (rig: string, agoMs: number) => number | null;
}

/** Stamped by the clock here at its first tap, never before the lesson began. */
export function withMark(
  session: TrainingSession,
  { agoMs, alongMm, ...mark }: NewMark,
  marking: Marking,
): TrainingSession {
  requireState(session, 'mark');
  const { rig, side } = mark;
  if (session.rigs.length > 0 && !session.rigs.some(one => one.rig === rig && one.side === side)) {
    throw new ApiProblem(422, 'rigUnknown', `No rig ${rig} welds side ${side} in this lesson.`);
  }
  if (session.marks.length >= MOST_MARKS) {
    throw new ApiProblem(409, 'tooManyMarks', `A session holds at most ${MOST_MARKS} marks.`);
  }
  const atMs = Math.max(marking.now.getTime() - agoMs, Date.parse(session.startedAt ?? session.createdAt));
  const made = {
    ...mark,
    id: marking.id,
    at: new Date(atMs).toISOString(),
    alongMm: alongMm === undefined ? marking.alongMm(rig, agoMs) : alongMm,
  };
  return { ...session, marks: [...session.marks, made] };
}

export function withNote(session: TrainingSession, at: string, text: string): TrainingSession {
  if (session.notes.length >= MOST_NOTES) {
    throw new ApiProblem(409, 'tooManyNotes', `A session holds at most ${MOST_NOTES} notes.`);
  }
  return { ...session, notes: [...session.notes, { at, text }] };
}

export function withRating(session: TrainingSession, selfRating: number): TrainingSession {
  requireState(session, 'rate');
  if (session.selfRating === null) return { ...session, selfRating };
  throw new ApiProblem(409, 'ratedAlready', 'The trainee has rated themselves already: it stays as it is.');
}

export function requireRated(session: TrainingSession): TrainingSession {
  requireState(session, 'debrief');
  if (session.selfRating !== null) return session;
  throw new ApiProblem(
    409,
    'ratingMissing',
    'First the trainee rates themselves, 1 to 5; then the score is shown.',
  );
}

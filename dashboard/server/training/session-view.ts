/** A session as it is shown: no truth and no score to the trainee before the end and the self-rating. */
import type { Hint, SessionHead, SessionView, Training } from '#core/messages/api-training';
import type { TrainingSession } from '#core/training/session';

/** Where the rigs truly are and which lesson runs is for the trainer's eyes; whether it runs is for everybody's. */
export function traineesOverview(overview: Training): Training {
  const { control } = overview;
  return {
    ...overview,
    lessons: [],
    control: control && { ...control, lesson: null, seed: null, rigs: [] },
  };
}

// A title says what will go wrong, and a seed where; each lesson has a seed of its own, so that names it too.
const UNTOLD = { id: 'lesson', title: 'Lesson', objectives: [], seed: 0 };

export function sessionView(session: TrainingSession, trainerView: boolean, hint: Hint | null): SessionView {
  const isOpen = trainerView || (session.state === 'ended' && session.selfRating !== null);
  return {
    ...session,
    lesson: isOpen ? session.lesson : { ...session.lesson, ...UNTOLD },
    seed: isOpen ? session.seed : 0,
    truth: isOpen ? session.truth : null,
    // Nobody sees a score before the self-rating: until then there is none.
    score: isOpen ? session.score : null,
    notes: isOpen ? session.notes : [],
    trainerView,
    hint,
  };
}

export function sessionHead({ marks, ...session }: TrainingSession): SessionHead {
  const { id, trainee, trainer, lesson, seed, mode, state, createdAt, startedAt, endedAt } = session;
  const { hurried, selfRating } = session;
  return {
    id,
    trainee,
    trainer,
    lesson,
    seed,
    mode,
    state,
    createdAt,
    startedAt,
    endedAt,
    hurried,
    selfRating,
    marks: marks.length,
  };
}

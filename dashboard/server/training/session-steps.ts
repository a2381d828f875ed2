/** What may be done with a session when, and in which words it is refused. */
import type { TrainingSession } from '#core/training/session';
import { ApiProblem } from '../api/problem.ts';

type State = TrainingSession['state'];

const IS: Readonly<Record<State, string>> = {
  ready: 'is ready and has not begun',
  running: 'is running',
  frozen: 'is frozen',
  ended: 'has ended',
};

const MAY = {
  start: ['ready'],
  freeze: ['running'],
  resume: ['frozen'],
  speed: ['running', 'frozen'],
  inject: ['running', 'frozen'],
  end: ['ready', 'running', 'frozen'],
  mark: ['running', 'frozen'],
  rate: ['ended'],
  debrief: ['ended'],
  delete: ['ended'],
} as const satisfies Record<string, readonly State[]>;

const CANNOT: Readonly<Record<keyof typeof MAY, string>> = {
  start: 'it cannot begin now',
  freeze: 'it can only be frozen while it runs',
  resume: 'only a frozen lesson goes on',
  speed: 'its speed can be changed while it runs',
  inject: 'a fault is put in while it runs',
  end: 'it cannot end again',
  mark: 'marks count from the start to the end of the lesson',
  rate: 'the trainee rates themselves after the end',
  debrief: 'the debrief comes after the end',
  delete: 'end it first, then delete it',
};

export function requireState({ state }: TrainingSession, step: keyof typeof MAY): void {
  const states: readonly State[] = MAY[step];
  if (states.includes(state)) return;
  throw new ApiProblem(409, 'sessionState', `This session ${IS[state]}: ${CANNOT[step]}.`);
}

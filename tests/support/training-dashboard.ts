/** A dashboard of training over HTTP, with a stand-in for the simulator's control. */

import type { NewMark, NewSession } from '#core/messages/api-training';
import { TRAINER_HEADER } from '#core/training/names';
import { ROUTES } from '../../dashboard/server/api/route-table.ts';
import { answer } from './http-answers.ts';
import { startTestDashboard } from './test-dashboard.ts';
import { CONTROL_TOKEN, startTestControl, type TestControl } from './training-control.ts';
import { trainingWindow } from './training-session.ts';

export const SESSIONS = '/api/v1/training/sessions';
export const KEY = 'key-of-the-trainer';
export const TRAINER = { [TRAINER_HEADER]: KEY };
export const NEW: Partial<NewSession> = {
  trainee: 'T. Learner',
  trainer: 'B. Teacher',
  lesson: 'stick-out',
  mode: 'check',
};
export const MARK: Partial<NewMark> = { rig: 'rig-a', side: 'A', channel: 'weldingCurrent', action: 'call' };

/** `agoS` before now. */
export const ago = (agoS: number): string => new Date(Date.now() - agoS * 1000).toISOString();

export async function startTraining() {
  const control = await startTestControl();
  const setup = { controlUrl: control.url, token: CONTROL_TOKEN, trainerKey: KEY };
  const dashboard = await startTestDashboard({ training: setup });
  const post = (path: string, body: unknown, headers = TRAINER) =>
    dashboard.post(`${SESSIONS}${path}`, body, headers);
  const get = (path: string, headers = {}) => dashboard.get(`${SESSIONS}${path}`, headers);
  const open = async (more: Partial<NewSession> = {}) =>
    (await answer(ROUTES.addTrainingSession, await post('', { ...NEW, ...more }))).id;
  const started = async (more: Partial<NewSession> = {}) => {
    const id = await open(more);
    await answer(ROUTES.startTraining, await post(`/${id}/start`, {}));
    return id;
  };
  const ended = async () => {
    const id = await started();
    await answer(ROUTES.endTraining, await post(`/${id}/end`, {}));
    return id;
  };
  const anyone = {} as typeof TRAINER;
  return { ...dashboard, dashboard, control, post, get, open, started, ended, anyone };
}

/** A signal that is open now, and one that the lesson has not reached. */
export const twoWindows = (): TestControl['truth'] => [
  trainingWindow('s1', 0, 0, { beganUtc: ago(5), endedUtc: null, fromMm: 100 }),
  trainingWindow('s2', null, null),
];

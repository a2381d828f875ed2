/** What a dashboard of training refuses: the wrong order, the wrong key, a simulator that is away, real data. */

import { describe, expect, it } from 'vitest';
import { TRAINER_HEADER } from '#core/training/names';
import { ROUTES } from '../../dashboard/server/api/route-table.ts';
import { answer, problem } from '../support/http-answers.ts';
import { startTestDashboard } from '../support/test-dashboard.ts';
import { seal, testBody, testEvent, testPass } from '../support/test-records.ts';
import {
  KEY,
  MARK,
  NEW,
  SESSIONS,
  startTraining,
  TRAINER,
  twoWindows,
} from '../support/training-dashboard.ts';

describe('refused', () => {
  it.each([
    ['resume', {}, 'only a frozen lesson goes on'],
    ['freeze', {}, 'while it runs'],
    ['inject', { rig: 'rig-a', fault: 'stickOut', size: 4, rampMm: 0, lengthMm: null }, 'while it runs'],
    ['marks', MARK, 'from the start'],
    ['self-rating', { rating: 3 }, 'after the end'],
  ])('%s before the start', async (step, body, words) => {
    const { post, open } = await startTraining();
    const refusal = await problem(await post(`/${await open()}/${step}`, body));
    expect(refusal).toMatchObject({ status: 409, code: 'sessionState' });
    expect(refusal.detail).toContain(words);
  });

  it('a second session, a second rating, what is unknown, what the simulator refuses', async () => {
    const { control, post, get, open, ended, anyone } = await startTraining();
    const id = await open();
    expect(await problem(await post('', NEW))).toMatchObject({ status: 409, code: 'sessionOpen' });
    await answer(ROUTES.endTraining, await post(`/${id}/end`, {}));
    expect(await problem(await post('', { ...NEW, lesson: 'unheard-of' }))).toMatchObject({
      status: 409,
      code: 'controlRefused',
      detail: 'There is no lesson unheard-of.',
    });
    expect(await problem(await get('/unheard-of'))).toMatchObject({ status: 404, code: 'sessionUnknown' });
    const done = await ended();
    await answer(ROUTES.rateTraining, await post(`/${done}/self-rating`, { rating: 3 }, anyone));
    expect(await problem(await post(`/${done}/self-rating`, { rating: 5 }, anyone))).toMatchObject({
      code: 'ratedAlready',
    });
    expect(control.told.filter(one => one === 'open')).toHaveLength(2);
  });

  it('what only the trainer may do, without the key or with another', async () => {
    const { control, post, get, remove, open, anyone } = await startTraining();
    const id = await open();
    for (const step of ['start', 'end', 'notes', 'debrief']) {
      const body = { start: {}, end: {}, notes: { text: 'x' }, debrief: { keep: [], change: [] } }[step];
      expect(await problem(await post(`/${id}/${step}`, body, anyone))).toMatchObject({
        status: 403,
        code: 'trainerKeyMissing',
      });
      const wrong = await problem(await post(`/${id}/${step}`, body, { [TRAINER_HEADER]: `${KEY}x` }));
      expect(wrong).toMatchObject({ status: 403, code: 'trainerKeyWrong' });
      expect(wrong.detail).not.toContain(KEY);
    }
    expect((await problem(await get(''))).code).toBe('trainerKeyMissing');
    expect((await problem(await get(`/${id}`, { [TRAINER_HEADER]: 'guess' }))).code).toBe('trainerKeyWrong');
    expect((await problem(await remove(`${SESSIONS}/${id}`))).code).toBe('trainerKeyMissing');
    expect(control.told).toEqual(['open']);
  });

  it('steps while the simulator is away, in words; the end goes on anyway and is not scored', async () => {
    const { control, post, get, started, tick, anyone } = await startTraining();
    const id = await started();
    control.truth = twoWindows();
    await tick!();
    control.garble = 'no JSON';
    expect(await problem(await post(`/${id}/freeze`, {}))).toMatchObject({
      status: 503,
      code: 'controlAway',
    });
    await control.leave();
    const away = await problem(await post(`/${id}/end`, {}));
    expect(away).toMatchObject({ status: 503, code: 'controlAway' });
    expect(away.detail).toContain('cannot be reached');
    await tick!();
    const ended = await answer(ROUTES.endTraining, await post(`/${id}/end`, { anyway: true }));
    // What was known of the truth stays.
    expect(ended).toMatchObject({ state: 'ended', truth: [{ id: 's1' }, { id: 's2' }] });
    await answer(ROUTES.rateTraining, await post(`/${id}/self-rating`, { rating: 3 }, anyone));
    const { score } = await answer(ROUTES.trainingDebrief, await get(`/${id}/debrief`));
    expect(score.notScored).toContain('cannot be reached');
  });

  it('real data: it is counted and not kept', async () => {
    const { receive, settle, store, counts } = await startTraining();
    const body = testBody({ origin: 'real', passes: [testPass(1, { origin: 'real' })] });
    receive('girthlog/1/spread-1/rig-a/record', seal(JSON.stringify(body), 1, undefined, undefined, 'real'));
    receive('girthlog/1/spread-1/rig-a/event', testEvent(1, { origin: 'real' }));
    await settle();
    expect(counts).toMatchObject({ originRefused: 2 });
    expect(store.size().records).toBe(0);
    expect(store.rigs()).toEqual([]);
  });
});

describe('a dashboard that is not set up for training', () => {
  it('says so, and has nothing else of it', async () => {
    const { get, post } = await startTestDashboard();
    expect(await answer(ROUTES.training, await get('/api/v1/training'))).toEqual({
      mode: 'off',
      lessons: [],
      control: null,
      controlProblem: null,
      session: null,
    });
    expect(await problem(await get(SESSIONS, TRAINER))).toMatchObject({ status: 404, code: 'trainingOff' });
    expect(await problem(await post(`${SESSIONS}/any/marks`, MARK))).toMatchObject({ code: 'trainingOff' });
  });
});

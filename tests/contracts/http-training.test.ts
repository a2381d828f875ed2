/** A dashboard of training over HTTP, with a stand-in for the simulator's control. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { type NewMark, type NewSession, TRAINER_HEADER } from '#core/messages/api-training';
import { ROUTES } from '../../dashboard/server/api/route-table.ts';
import { answer, problem } from '../support/http-answers.ts';
import { readEvents } from '../support/sse-reader.ts';
import { startTestDashboard } from '../support/test-dashboard.ts';
import { seal, testBody, testDeviation, testEvent, testPass } from '../support/test-records.ts';
import { CONTROL_TOKEN, startTestControl, type TestControl } from '../support/training-control.ts';
import { trainingWindow } from '../support/training-session.ts';
import { waitUntil } from '../support/wait-until.ts';

const BASE = '/api/v1/training/sessions';
const KEY = 'key-of-the-trainer';
const TRAINER = { [TRAINER_HEADER]: KEY };
const NEW: Partial<NewSession> = {
  trainee: 'T. Learner',
  trainer: 'B. Teacher',
  lesson: 'stick-out',
  mode: 'check',
};
const MARK: Partial<NewMark> = { rig: 'rig-a', side: 'A', channel: 'weldingCurrent', action: 'call' };

/** `agoS` before now. */
const ago = (agoS: number): string => new Date(Date.now() - agoS * 1000).toISOString();

async function training() {
  const control = await startTestControl();
  const setup = { controlUrl: control.url, token: CONTROL_TOKEN, trainerKey: KEY };
  const dashboard = await startTestDashboard({ training: setup });
  const post = (path: string, body: unknown, headers = TRAINER) =>
    dashboard.post(`${BASE}${path}`, body, headers);
  const get = (path: string, headers = {}) => dashboard.get(`${BASE}${path}`, headers);
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
const twoWindows = (): TestControl['truth'] => [
  trainingWindow('s1', 0, 0, { beganUtc: ago(5), endedUtc: null, fromMm: 100 }),
  trainingWindow('s2', null, null),
];

describe('a dashboard of training', () => {
  it('runs a session from its opening to the debrief', async () => {
    const { control, post, get, open, anyone, dashboard } = await training();
    const before = await answer(ROUTES.training, await dashboard.get('/api/v1/training'));
    expect(before).toMatchObject({ mode: 'training', lessons: [{ id: 'stick-out' }], session: null });
    const id = await open();
    expect(control.told).toEqual(['open']);
    const opened = await answer(ROUTES.training, await dashboard.get('/api/v1/training'));
    expect(opened.session).toEqual({ id, mode: 'check', state: 'ready' });
    const begun = await answer(ROUTES.startTraining, await post(`/${id}/start`, {}));
    expect(begun).toMatchObject({ state: 'running', trainerView: true, seed: 11, hurried: false });
    control.truth = twoWindows();
    const marked = await answer(
      ROUTES.addTrainingMark,
      await post(`/${id}/marks`, { ...MARK, alongMm: 130 }, anyone),
    );
    expect(marked.marks).toHaveLength(1);
    await answer(ROUTES.freezeTraining, await post(`/${id}/freeze`, {}));
    await answer(ROUTES.resumeTraining, await post(`/${id}/resume`, {}));
    await answer(ROUTES.addTrainingNote, await post(`/${id}/notes`, { text: 'Looked at the right side.' }));
    const ended = await answer(ROUTES.endTraining, await post(`/${id}/end`, {}));
    expect(ended).toMatchObject({ state: 'ended', truth: [{ id: 's1' }, { id: 's2' }], score: null });
    expect(ended.pauses).toHaveLength(1);
    expect(ended.pauses[0]!.to).not.toBeNull();
    const rated = await answer(ROUTES.rateTraining, await post(`/${id}/self-rating`, { rating: 4 }, anyone));
    expect(rated).toMatchObject({ selfRating: 4, truth: [{ id: 's1' }, { id: 's2' }] });
    const { score, timeline, session } = await answer(ROUTES.trainingDebrief, await get(`/${id}/debrief`));
    expect(score.windows).toMatchObject([
      { windowId: 's1', result: 'hit', weldMm: 30, rightChannel: true, rightAction: true },
      { windowId: 's2', result: 'notReached' },
    ]);
    expect(score.sensitivityReason).toContain('at least 10');
    expect(timeline.map(({ kind }) => kind).sort()).toEqual(['mark', 'note', 'pause', 'truth']);
    expect(session.score).toEqual(score);
    const points = { keep: ['Looked early.'], change: ['Say the channel.', 'Say what to do.'] };
    await answer(ROUTES.writeTrainingDebrief, await post(`/${id}/debrief`, points));
    const read = await answer(ROUTES.trainingDebrief, await get(`/${id}/debrief`));
    expect(read.session).toMatchObject(points);
    const { sessions } = await answer(ROUTES.trainingSessions, await get('', TRAINER));
    expect(sessions).toMatchObject([{ id, trainee: 'T. Learner', state: 'ended', marks: 1 }]);
  });

  it('tells the trainee no truth before the debrief, and the trainer all of it', async () => {
    const { control, post, get, started, tick, url, anyone } = await training();
    const { of } = await readEvents(`${url}/api/v1/stream`);
    const id = await started();
    control.truth = twoWindows();
    await tick!();
    await answer(ROUTES.addTrainingNote, await post(`/${id}/notes`, { text: 'Do not tell.' }));
    const seen = await answer(ROUTES.trainingSession, await get(`/${id}`));
    expect(seen).toMatchObject({ truth: null, score: null, notes: [], trainerView: false, hint: null });
    expect(JSON.stringify(seen)).not.toMatch(/stickOut|Do not tell/);
    const taught = await answer(ROUTES.trainingSession, await get(`/${id}`, TRAINER));
    expect(taught).toMatchObject({ truth: [{ id: 's1' }, { id: 's2' }], trainerView: true });
    await answer(ROUTES.endTraining, await post(`/${id}/end`, {}));
    expect((await answer(ROUTES.trainingSession, await get(`/${id}`))).truth).toBeNull();
    expect(await problem(await get(`/${id}/debrief`))).toMatchObject({ code: 'ratingMissing' });
    expect(await problem(await get(`/${id}/debrief`, TRAINER))).toMatchObject({ code: 'ratingMissing' });
    await answer(ROUTES.rateTraining, await post(`/${id}/self-rating`, { rating: 2 }, anyone));
    expect((await answer(ROUTES.trainingSession, await get(`/${id}`))).truth).toHaveLength(2);
    await waitUntil(() => of('training').some(({ data }) => data.state === 'ended'), 'the end on the stream');
    expect(JSON.stringify(of('training'))).not.toMatch(/stickOut|truth|Learner/);
  });

  it('hints in practice once a signal has stood for a while, never in a check', async () => {
    const { control, get, started, tick } = await training();
    const id = await started({ mode: 'practice' });
    control.truth = [trainingWindow('s1', 0, 0, { beganUtc: ago(30), endedUtc: null })];
    await tick!();
    const { hint } = await answer(ROUTES.trainingSession, await get(`/${id}`));
    expect(hint).toEqual({ step: 'side', rig: 'rig-a', side: 'A', channels: null, actions: null });
  });

  it('counts the time of the first tap, and the place it was last heard at', async () => {
    const { post, started, anyone } = await training();
    const id = await started();
    const before = Date.now();
    const { marks, startedAt } = await answer(
      ROUTES.addTrainingMark,
      await post(`/${id}/marks`, { ...MARK, agoMs: 60_000 }, anyone),
    );
    // Before the lesson began nobody can have seen anything.
    expect(marks[0]).toMatchObject({ at: startedAt, alongMm: null });
    const now = await answer(ROUTES.addTrainingMark, await post(`/${id}/marks`, MARK, anyone));
    expect(Date.parse(now.marks[1]!.at)).toBeGreaterThanOrEqual(before);
  });

  it('does not score what ever ran at another speed', async () => {
    const { control, post, get, started, anyone } = await training();
    const id = await started();
    control.truth = twoWindows();
    expect((await answer(ROUTES.setTrainingSpeed, await post(`/${id}/speed`, { speed: 4 }))).hurried).toBe(
      true,
    );
    expect((await answer(ROUTES.setTrainingSpeed, await post(`/${id}/speed`, { speed: 1 }))).hurried).toBe(
      true,
    );
    await answer(ROUTES.endTraining, await post(`/${id}/end`, {}));
    await answer(ROUTES.rateTraining, await post(`/${id}/self-rating`, { rating: 3 }, anyone));
    const { score } = await answer(ROUTES.trainingDebrief, await get(`/${id}/debrief`));
    expect(score).toMatchObject({ counts: null, windows: [], sensitivity: null });
    expect(score.notScored).toContain('another speed');
  });

  it('ends by itself when the lesson does, and when the simulator began anew', async () => {
    const { control, get, started, tick } = await training();
    const id = await started();
    control.truth = twoWindows();
    control.state = { ...control.state, state: 'ended' };
    await tick!();
    expect(await answer(ROUTES.trainingSession, await get(`/${id}`, TRAINER))).toMatchObject({
      state: 'ended',
      truthGap: null,
      truth: [{ id: 's1' }, { id: 's2' }],
    });
    const second = await started();
    control.state = { ...control.state, state: 'idle', lesson: null };
    await tick!();
    const lost = await answer(ROUTES.trainingSession, await get(`/${second}`, TRAINER));
    expect(lost.state).toBe('ended');
    expect(lost.truthGap).toContain('began anew');
  });

  it('puts what was welded, called and announced in the time of the session on the timeline', async () => {
    const { post, get, started, receive, settle, anyone } = await training();
    const id = await started();
    const events = [testEvent(1, { at: ago(0) })];
    const passes = [
      testPass(1, { startUtc: ago(20), endUtc: ago(-20), deviations: [testDeviation(0)] }),
      testPass(2, { startUtc: ago(4000), endUtc: ago(3000) }),
    ];
    receive('girthlog/1/spread-1/rig-a/record', seal(JSON.stringify(testBody({ events, passes })), 1));
    await settle();
    await answer(ROUTES.endTraining, await post(`/${id}/end`, {}));
    await answer(ROUTES.rateTraining, await post(`/${id}/self-rating`, { rating: 3 }, anyone));
    const { joints } = await answer(ROUTES.trainingDebrief, await get(`/${id}/debrief`));
    expect(joints).toEqual([{ joint: 'J-0001', origin: 'simulated' }]);
  });
});

describe('refused', () => {
  it.each([
    ['resume', {}, 'only a frozen lesson goes on'],
    ['freeze', {}, 'while it runs'],
    ['inject', { rig: 'rig-a', fault: 'stickOut', size: 4, rampMm: 0, lengthMm: null }, 'while it runs'],
    ['marks', MARK, 'from the start'],
    ['self-rating', { rating: 3 }, 'after the end'],
  ])('%s before the start', async (step, body, words) => {
    const { post, open } = await training();
    const refusal = await problem(await post(`/${await open()}/${step}`, body));
    expect(refusal).toMatchObject({ status: 409, code: 'sessionState' });
    expect(refusal.detail).toContain(words);
  });

  it('a second session, a second rating, what is unknown, what the simulator refuses', async () => {
    const { control, post, get, open, ended, anyone } = await training();
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
    const { control, post, get, remove, open, anyone } = await training();
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
    expect((await problem(await remove(`${BASE}/${id}`))).code).toBe('trainerKeyMissing');
    expect(control.told).toEqual(['open']);
  });

  it('steps while the simulator is away, in words; the end goes on anyway and is not scored', async () => {
    const { control, post, get, started, tick, anyone } = await training();
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
    const { receive, settle, store, counts } = await training();
    const body = testBody({ origin: 'real', passes: [testPass(1, { origin: 'real' })] });
    receive('girthlog/1/spread-1/rig-a/record', seal(JSON.stringify(body), 1, undefined, undefined, 'real'));
    receive('girthlog/1/spread-1/rig-a/event', testEvent(1, { origin: 'real' }));
    await settle();
    expect(counts).toMatchObject({ originRefused: 2 });
    expect(store.size().records).toBe(0);
    expect(store.rigs()).toEqual([]);
  });
});

describe('deletion', () => {
  it('leaves nothing of the session in the data directory, and says what stays', async () => {
    const { control, get, post, remove, ended, store, data } = await training();
    const id = await ended();
    const files = () =>
      readdirSync(data, { recursive: true, withFileTypes: true })
        .filter(entry => entry.isFile())
        .map(entry => readFileSync(join(entry.parentPath, entry.name), 'latin1'));
    expect(files().some(text => text.includes('T. Learner'))).toBe(true);
    const { deleted, stays } = await answer(
      ROUTES.deleteTrainingSession,
      await remove(`${BASE}/${id}`, TRAINER),
    );
    expect(deleted).toBe(id);
    expect(stays.join(' ')).toContain('Copies that people made');
    store.check();
    for (const text of files()) {
      expect(text.includes('T. Learner') || text.includes('B. Teacher') || text.includes(id)).toBe(false);
    }
    expect((await problem(await get(`/${id}`, TRAINER))).code).toBe('sessionUnknown');
    const running = (await answer(ROUTES.addTrainingSession, await post('', NEW))).id;
    expect((await problem(await remove(`${BASE}/${running}`, TRAINER))).code).toBe('sessionState');
    expect(control.told).toEqual(['open', 'start', 'end', 'open']);
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
    expect(await problem(await get(BASE))).toMatchObject({ status: 404, code: 'trainingOff' });
    expect(await problem(await post(`${BASE}/any/marks`, MARK))).toMatchObject({ code: 'trainingOff' });
  });
});

/** Sessions of training over HTTP: from opening to debrief and deletion. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ROUTES } from '../../dashboard/server/api/route-table.ts';
import { answer, problem } from '../support/http-answers.ts';
import { readEvents } from '../support/sse-reader.ts';
import { seal, testBody, testDeviation, testEvent, testPass } from '../support/test-records.ts';
import {
  ago,
  MARK,
  NEW,
  SESSIONS,
  startTraining,
  TRAINER,
  twoWindows,
} from '../support/training-dashboard.ts';
import { trainingWindow } from '../support/training-session.ts';
import { waitUntil } from '../support/wait-until.ts';

describe('a dashboard of training', () => {
  it('runs a session from its opening to the debrief', async () => {
    const { control, post, get, open, anyone, dashboard } = await startTraining();
    const before = await answer(ROUTES.training, await dashboard.get('/api/v1/training', TRAINER));
    expect(before).toMatchObject({ mode: 'training', lessons: [{ id: 'stick-out' }], session: null });
    const id = await open();
    expect(control.told).toEqual(['open']);
    const opened = await answer(ROUTES.training, await dashboard.get('/api/v1/training'));
    expect(opened.session).toEqual({ id, mode: 'check', state: 'ready' });
    // Which lesson it is and where the rigs truly are says what will go wrong: for the trainer's eyes.
    expect(opened).toMatchObject({ lessons: [], control: { lesson: null, seed: null, rigs: [] } });
    expect(await answer(ROUTES.trainingSession, await get(`/${id}`, anyone))).toMatchObject({
      lesson: { id: 'lesson', title: 'Lesson', objectives: [], seed: 0 },
      seed: 0,
    });
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
    const { control, post, get, started, tick, url, anyone } = await startTraining();
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
    const { control, get, started, tick } = await startTraining();
    const id = await started({ mode: 'practice' });
    control.truth = [trainingWindow('s1', 0, 0, { beganUtc: ago(30), endedUtc: null })];
    await tick!();
    const { hint } = await answer(ROUTES.trainingSession, await get(`/${id}`));
    expect(hint).toEqual({ step: 'side', rig: 'rig-a', side: 'A', channels: null, actions: null });
  });

  it('counts the time of the first tap, and the place it was last heard at', async () => {
    const { post, started, anyone } = await startTraining();
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
    const { control, post, get, started, anyone } = await startTraining();
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
    const { control, get, started, tick } = await startTraining();
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

  it('names the joints welded in the time of the session, and no others', async () => {
    const { post, get, started, receive, settle, anyone } = await startTraining();
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

describe('files of a session', () => {
  it('come after the self-rating, and name nobody in their names', async () => {
    const { get, post, ended, anyone } = await startTraining();
    const id = await ended();
    for (const file of ['debrief.pdf', 'export.json']) {
      expect((await problem(await get(`/${id}/${file}`))).code).toBe('ratingMissing');
    }
    await answer(ROUTES.rateTraining, await post(`/${id}/self-rating`, { rating: 3 }, anyone));
    const [one, two] = [await get(`/${id}/debrief.pdf`), await get(`/${id}/debrief.pdf`)];
    expect(one.headers.get('content-type')).toBe('application/pdf');
    expect(one.headers.get('content-disposition')).toMatch(/"training-stick-out-\d{4}-\d\d-\d\d\.pdf"/);
    const bytes = Buffer.from(await one.arrayBuffer());
    expect(bytes.subarray(0, 5).toString('latin1')).toBe('%PDF-');
    expect(bytes.equals(Buffer.from(await two.arrayBuffer()))).toBe(true);
    const exported = await (await get(`/${id}/export.json`)).json();
    expect(exported).toEqual(await answer(ROUTES.trainingDebrief, await get(`/${id}/debrief`)));
  });
});

describe('deletion', () => {
  it('leaves nothing of the session in the data directory, and says what stays', async () => {
    const { control, get, post, remove, ended, store, data } = await startTraining();
    const id = await ended();
    const files = () =>
      readdirSync(data, { recursive: true, withFileTypes: true })
        .filter(entry => entry.isFile())
        .map(entry => readFileSync(join(entry.parentPath, entry.name), 'latin1'));
    expect(files().some(text => text.includes('T. Learner'))).toBe(true);
    const { deleted, stays } = await answer(
      ROUTES.deleteTrainingSession,
      await remove(`${SESSIONS}/${id}`, TRAINER),
    );
    expect(deleted).toBe(id);
    expect(stays.join(' ')).toContain('Copies that people made');
    store.check();
    for (const text of files()) {
      expect(text.includes('T. Learner') || text.includes('B. Teacher') || text.includes(id)).toBe(false);
    }
    expect((await problem(await get(`/${id}`, TRAINER))).code).toBe('sessionUnknown');
    const running = (await answer(ROUTES.addTrainingSession, await post('', NEW))).id;
    expect((await problem(await remove(`${SESSIONS}/${running}`, TRAINER))).code).toBe('sessionState');
    expect(control.told).toEqual(['open', 'start', 'end', 'open']);
  });
});

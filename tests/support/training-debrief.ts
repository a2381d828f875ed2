/** A session that has ended, with its score and timeline. */
import type { Debrief, TimelineItem } from '#core/messages/api-training';
import { scoreSession } from '#core/training/score';
import type { TrainingSession } from '#core/training/session';
import { trainingArc, trainingMark, trainingWindow, utcAt } from './training-session.ts';

/** Ten minutes on two sides: two signals, of which one was marked, and a decoy. */
export function testSession(more: Partial<TrainingSession> = {}): TrainingSession {
  return {
    id: 'session-1',
    trainee: 'T. Learner',
    trainer: 'B. Teacher',
    lesson: {
      id: 'stick-out',
      title: 'Stick-out',
      objectives: ['See a slow drift of the current'],
      minutes: 10,
      rigs: 2,
      seed: 11,
      replay: false,
    },
    seed: 11,
    mode: 'check',
    state: 'ended',
    rigs: [
      { rig: 'rig-a', side: 'A' },
      { rig: 'rig-b', side: 'B' },
    ],
    createdAt: utcAt(-30),
    startedAt: utcAt(0),
    endedAt: utcAt(600),
    pauses: [{ from: utcAt(240), to: utcAt(260) }],
    hurried: false,
    truthGap: null,
    marks: [trainingMark('m1', 104), trainingMark('m2', 450, { rig: 'rig-b', side: 'B', action: null })],
    notes: [{ at: utcAt(300), text: 'Looked at the right side.' }],
    selfRating: 4,
    keep: ['Looked early.'],
    change: [],
    truth: [
      trainingWindow('s1', 100, 130),
      trainingWindow('s2', 300, 330, { rig: 'rig-b', side: 'B', fault: 'gasLost', channels: ['gasFlow'] }),
      trainingWindow('d1', 200, 220, { kind: 'decoy', fault: 'trim', channels: [], actions: [] }),
    ],
    score: null,
    ...more,
  };
}

export function testDebrief(more: Partial<TrainingSession> = {}): Debrief {
  const session = testSession(more);
  const { truth, marks, pauses, hurried } = session;
  const score = scoreSession({
    notScored: hurried ? 'The lesson ran at another speed than ×1.' : null,
    truth,
    marks,
    pauses,
    arcs: [trainingArc(0, 600), trainingArc(0, 600, 'rig-b', 'B')],
    lateAfterS: null,
  });
  const none = { until: null, joint: null, pass: null, fromMm: null, toMm: null, ref: null, text: null };
  const timeline: TimelineItem[] = [
    ...truth.map(({ id, beganUtc, endedUtc, rig, side }) => {
      return { ...none, kind: 'truth' as const, at: beganUtc!, until: endedUtc, rig, side, ref: id };
    }),
    ...marks.map(({ id, at, rig, side, alongMm }) => {
      return { ...none, kind: 'mark' as const, at, rig, side, fromMm: alongMm, ref: id };
    }),
    { ...none, kind: 'alarm', at: utcAt(110), rig: 'rig-a', side: 'A', text: 'Welding current is low.' },
  ];
  return {
    schema: 'girthlog.training-debrief/1',
    session: { ...session, score },
    score,
    timeline: timeline.sort((a, b) => (a.at < b.at ? -1 : 1)),
    joints: [{ joint: 'T-1', origin: 'simulated' }],
  };
}

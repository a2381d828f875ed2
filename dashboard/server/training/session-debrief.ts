/** Score and timeline of a session that has ended: what was true, what was called, and what the trainee said of it. */
import type { AlarmHistory } from '#core/messages/api-alarm';
import type { Debrief, TimelineItem } from '#core/messages/api-training';
import { scoreSession } from '#core/training/score';
import type { Score, TrainingSession } from '#core/training/session';
import type { DashboardStore } from '../store/store.ts';
import { callsOf, marksOf } from '../watch/recorded-calls.ts';
import { arcsIn, passesIn, spanOf } from './welded-in.ts';

export type DebriefStore = Pick<DashboardStore, 'passes' | 'events' | 'journal'> & {
  readonly alarms: Pick<DashboardStore['alarms'], 'history'>;
};

/** A mark is late when its window is over; a time of its own is not asked. */
const LATE_AFTER_S = null;

export function sessionScore(session: TrainingSession, store: DebriefStore): Score {
  const span = spanOf(session, session.endedAt ?? session.createdAt);
  const { truth, marks, pauses, rigs } = session;
  return scoreSession({
    notScored: notScored(session),
    truth,
    marks,
    pauses,
    arcs: span === null ? [] : arcsIn(store, rigs, span),
    lateAfterS: LATE_AFTER_S,
  });
}

function notScored({ startedAt, hurried, truthGap }: TrainingSession): string | null {
  if (startedAt === null) return 'The lesson never began.';
  if (hurried) return 'The lesson ran at another speed than ×1: times to see something would mean nothing.';
  return truthGap;
}

export function sessionDebrief(session: TrainingSession, score: Score, store: DebriefStore): Debrief {
  const span = spanOf(session, session.endedAt ?? session.createdAt);
  const passes = span === null ? [] : passesIn(store, span);
  const marks = marksOf(store);
  const calls = passes
    .flatMap(pass => callsOf(pass, marks))
    .filter(({ at }) => span !== null && isIn(span, at));
  const timeline: TimelineItem[] = [
    ...truthItems(session),
    ...session.marks.map(({ at, rig, side, alongMm, id }) =>
      item('mark', at, { rig, side, fromMm: alongMm, ref: id }),
    ),
    ...session.notes.map(({ at, text }) => item('note', at, { text })),
    ...session.pauses.map(({ from, to }) => item('pause', from, { until: to })),
    ...calls.map(({ at, of, rig, side, joint, pass, fromMm, toMm, passId, number, text }) =>
      item(of, at, { rig, side, joint, pass, fromMm, toMm, ref: `${passId} ${number}`, text }),
    ),
    ...(span === null ? [] : announcedIn(store, span)),
  ];
  const joints = new Map(
    passes.flatMap(({ joint, origin }) =>
      joint === null ? [] : [[`${origin} ${joint}`, { joint, origin }]],
    ),
  );
  return {
    schema: 'girthlog.training-debrief/1',
    session,
    score,
    timeline: timeline.sort((a, b) => (a.at < b.at ? -1 : a.at > b.at ? 1 : 0)),
    joints: [...joints.values()],
  };
}

function truthItems({ truth }: TrainingSession): TimelineItem[] {
  return truth.flatMap(({ id, beganUtc, endedUtc, rig, side, joint, pass, fromMm, toMm }) =>
    beganUtc === null
      ? []
      : [item('truth', beganUtc, { until: endedUtc, rig, side, joint, pass, fromMm, toMm, ref: id })],
  );
}

function announcedIn(store: DebriefStore, span: { from: string; to: string }): TimelineItem[] {
  const found: AlarmHistory['entries'] = [];
  let before: string | undefined;
  do {
    const { items, next } = store.alarms.history({ limit: 200, before });
    found.push(...items.filter(({ what, at }) => what === 'announced' && isIn(span, at)));
    if ((items.at(-1)?.at ?? span.from) < span.from) break;
    before = next ?? undefined;
  } while (before !== undefined);
  return found.reverse().map(({ at, rig, about, number, cause }) =>
    item('alarm', at, {
      rig,
      side: about?.work?.side ?? null,
      joint: about?.work?.joint ?? null,
      pass: about?.work?.pass ?? null,
      fromMm: about?.place?.alongMm ?? null,
      ref: String(number),
      text: about?.text ?? cause,
    }),
  );
}

const NOWHERE = { until: null, rig: null, side: null, joint: null, pass: null, fromMm: null, toMm: null };

const item = (kind: TimelineItem['kind'], at: string, more: Partial<TimelineItem>): TimelineItem => ({
  kind,
  at,
  ...NOWHERE,
  ref: null,
  text: null,
  ...more,
});

const isIn = ({ from, to }: { from: string; to: string }, at: string): boolean => at >= from && at <= to;

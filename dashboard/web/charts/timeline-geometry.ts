/** One line of time for each side of a session: truth, calls of the rules, alarms and marks, each in its lane. */
import type { TimelineItem } from '#core/messages/api-training';
import type { Side } from '#core/messages/common';
import type { LessonWindow } from '#core/training/lesson';

export const LANES = ['truth', 'calls', 'alarms', 'marks'] as const;
export type Lane = (typeof LANES)[number];

export interface LaneItem {
  readonly item: TimelineItem;
  readonly lane: Lane;
  /** Shares of the session's time; equal: a moment. */
  readonly from: number;
  readonly to: number;
  /** Of truth only. */
  readonly kind: LessonWindow['kind'] | null;
}

export interface SideTimeline {
  readonly rig: string;
  readonly side: Side;
  readonly items: readonly LaneItem[];
}

export interface TimelineModel {
  readonly sides: readonly SideTimeline[];
  /** While frozen, shares. */
  readonly pauses: readonly { readonly from: number; readonly to: number }[];
  /** How long it is, s. */
  readonly lengthS: number;
}

const LANE_OF: Readonly<Record<TimelineItem['kind'], Lane | null>> = {
  truth: 'truth',
  deviation: 'calls',
  drift: 'calls',
  alarm: 'alarms',
  mark: 'marks',
  note: null,
  pause: null,
};

interface TimelineInput {
  readonly timeline: readonly TimelineItem[];
  readonly rigs: readonly { readonly rig: string; readonly side: Side }[];
  readonly windows: readonly Pick<LessonWindow, 'id' | 'kind'>[];
  /** UTC; the line reaches over everything on it where that is longer. */
  readonly startedAt: string | null;
  readonly endedAt: string | null;
}

export function timelineModel({ timeline, rigs, windows, startedAt, endedAt }: TimelineInput): TimelineModel {
  const told = timeline.flatMap(({ at, until }) => [
    Date.parse(at),
    ...(until === null ? [] : [Date.parse(until)]),
  ]);
  const ends = [startedAt, endedAt].flatMap(utc => (utc === null ? [] : [Date.parse(utc)]));
  const all = [...told, ...ends];
  const firstMs = Math.min(...all);
  const lastMs = Math.max(...all);
  const span = Math.max(1000, lastMs - firstMs);
  const share = (utc: string): number => (Date.parse(utc) - firstMs) / span;
  const kinds = new Map(windows.map(({ id, kind }) => [id, kind]));
  const spanOf = ({ at, until, kind }: TimelineItem) => ({
    from: share(at),
    // A truth or a pause that had not ended reaches to the end; all else without an end is a moment.
    to: until !== null ? share(until) : kind === 'truth' || kind === 'pause' ? 1 : share(at),
  });
  const sides = rigs.map(({ rig, side }) => ({
    rig,
    side,
    items: timeline.flatMap((item): LaneItem[] => {
      const lane = LANE_OF[item.kind];
      if (lane === null || item.rig !== rig || (item.side !== null && item.side !== side)) return [];
      const kind = item.kind === 'truth' ? (kinds.get(item.ref ?? '') ?? null) : null;
      return [{ item, lane, ...spanOf(item), kind }];
    }),
  }));
  return {
    sides,
    pauses: timeline.filter(({ kind }) => kind === 'pause').map(spanOf),
    lengthS: span / 1000,
  };
}

import type { TrendMark } from '../../charts/trend-annotations.ts';
import type { Span } from '../../data/trend-history.ts';
import { text } from '../../text/text.ts';
import type { RigEventEntry } from '../rig-events/event-form.ts';

/** An event as the charts mark it. */
export interface EventMark {
  readonly atMs: number;
  readonly label: string;
}

/** The events that stand; a corrected one is marked where its correction puts it. */
export function eventMarks(events: readonly RigEventEntry[]): EventMark[] {
  const corrected = new Set(events.map(({ corrects }) => corrects));
  return events
    .filter(({ id }) => !corrected.has(id))
    .map(({ body }) => ({
      atMs: Date.parse(body.happenedAt),
      label: text.value.rigEvents.short[body.event],
    }))
    .sort((a, b) => a.atMs - b.atMs);
}

/** Those of a stretch of record time. `utcMinusRecordMs` null: their place is not known, and none is drawn. */
export function marksIn(
  marks: readonly EventMark[],
  utcMinusRecordMs: number | null,
  { fromUs, toUs }: Span,
): TrendMark[] {
  if (utcMinusRecordMs === null) return [];
  return marks
    .map(({ atMs, label }) => ({ atUs: (atMs - utcMinusRecordMs) * 1000, label }))
    .filter(({ atUs }) => atUs >= fromUs && atUs <= toUs);
}

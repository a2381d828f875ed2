/** One row an event of the rig while it welded a pass. */
import { type CsvColumns, rounded } from '#core/csv/csv-writer';
import type { JointReview, ReviewPass } from '#core/messages/api-review';
import type { PassExport } from './pass-export.ts';
import { whichPass } from './passes-table.ts';
import { timeColumns } from './table-times.ts';

export interface EventRow {
  readonly pass: Pick<PassExport, 'message' | 'work' | 'utcOf'>;
  readonly event: ReviewPass['events'][number];
}

export function eventRows(
  review: JointReview,
  shown: (passId: string) => EventRow['pass'] | undefined,
): EventRow[] {
  return review.passes.flatMap(({ message, events }) => {
    const pass = shown(message.passId);
    return pass ? events.map(event => ({ pass, event })) : [];
  });
}

export function eventColumns(zone: string): CsvColumns<EventRow> {
  return {
    ...whichPass<EventRow>(({ pass }) => pass),
    ...timeColumns<EventRow>(
      zone,
      ({ pass, event }) => pass.utcOf(pass.message.startUs) + Math.round(event.tS * 1000),
      ({ event }) => event.tS,
    ),
    quality: ({ event }) =>
      event.type === 'signalGap' ? 'gap' : event.type === 'signalHeld' ? 'held' : 'ok',
    type: ({ event }) => event.type,
    event_id: ({ event }) => event.id,
    along_mm: ({ event }) => rounded(event.alongMm, 3),
    text: ({ event }) => event.text,
  };
}

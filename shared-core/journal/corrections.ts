/**
 * Correction factors: decided by a named person, for one channel of one rig, from a stated moment. They change no
 * record. A pass that began after the moment is shown with both values; one that the moment falls into is not
 * corrected, since its record does not say which part was before.
 */
import type { PassJournal } from '../messages/api-pass-journal.ts';
import type { PassMessage } from '../messages/pass.ts';
import { type Entry, type EntryOf, standingOf } from './entry.ts';

export type CorrectionEntry = EntryOf<'correction'>;
export const CORRECTED_CHANNELS = ['travelSpeed', 'wireFeedSpeed'] as const;

/** The factor of each channel in force at `utc`: of the latest moment, then of the latest entry. */
export function correctionsAt(entries: readonly Entry[], utc: string): CorrectionEntry[] {
  const begun = standingOf(entries, 'correction').filter(({ body }) => body.from <= utc);
  return CORRECTED_CHANNELS.flatMap(channel => {
    const own = begun.filter(({ body }) => body.channel === channel);
    const latest = own.reduce<CorrectionEntry | null>(
      (best, entry) => (best === null || entry.body.from >= best.body.from ? entry : best),
      null,
    );
    return latest ? [latest] : [];
  });
}

type Shown = Pick<PassJournal, 'corrections' | 'corrected' | 'correctionNotes'>;

/** Recorded and corrected derived values of a pass. Entries of its rig, in order. */
export function correctedPass({ pass, startUtc, endUtc }: PassMessage, entries: readonly Entry[]): Shown {
  const applied = correctionsAt(entries, startUtc).filter(({ body }) => body.factor !== 1);
  const factorOf = (channel: CorrectionEntry['body']['channel']): number | null =>
    applied.find(({ body }) => body.channel === channel)?.body.factor ?? null;
  const within = standingOf(entries, 'correction').filter(
    ({ body }) => body.from > startUtc && body.from <= endUtc,
  );
  const travel = factorOf('travelSpeed');
  const wire = factorOf('wireFeedSpeed');
  const times = (recorded: number | null, factor: number): number | null =>
    recorded === null ? null : recorded * factor;
  return {
    corrections: applied.map(({ id, author, body: { channel, factor, from } }) => {
      return { channel, factor, from, author, entryId: id };
    }),
    corrected: [
      // Energy per length falls as the length grows; the energy itself does not change.
      ...(travel === null
        ? []
        : ([
            ['meanTravelMmS', travel],
            ['runOutLengthMm', travel],
            ['arcEnergyKjMm', 1 / travel],
            ['heatInputKjMm', 1 / travel],
          ] as const)),
      ...(wire === null
        ? []
        : ([
            ['meanWireFeedMmS', wire],
            ['wireUsedM', wire],
            ['wireUsedKg', wire],
          ] as const)),
    ].map(([field, factor]) => ({ field, recorded: pass[field], corrected: times(pass[field], factor) })),
    correctionNotes: within.map(
      ({ body }) =>
        `The factor ${body.factor} of ${body.channel} begins at ${body.from}, inside this pass: it is not applied to it.`,
    ),
  };
}

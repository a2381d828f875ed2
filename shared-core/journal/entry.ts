/**
 * The journal: what people enter, append-only. Nothing is edited: an entry may correct an earlier one of the
 * same kind, with its own author and reason, and both stay. Every state shown is a fold over entries.
 */
import { z } from 'zod';
import { originSchema, topicIdSchema, utcSchema } from '../messages/common.ts';
import { jointEntrySchemas } from './joint-entries.ts';
import { reviewEntrySchemas } from './review-entries.ts';
import { rigEntrySchemas } from './rig-entries.ts';
import { watchEntrySchemas } from './watch-entries.ts';

const otherEntrySchemas = {
  /** What a person may weld: ISO 4063 process, range in the qualifier's words, until when. */
  qualification: z.strictObject({
    kind: z.literal('qualification'),
    person: z.string().min(1).max(60),
    process: z.string().regex(/^\d{2,3}$/, 'an ISO 4063 process number such as 135'),
    range: z.string().trim().min(1).max(200),
    expires: z.iso.date(),
  }),
  /** A procedure revision may be used from here on, or no longer. Its text never changes. */
  procedureStatus: z.strictObject({
    kind: z.literal('procedureStatus'),
    procedureId: topicIdSchema,
    procedureRevision: z.int().positive(),
    status: z.enum(['approved', 'withdrawn']),
  }),
  /** From here on this person signs with another passphrase; nothing of it is in the journal. */
  passphraseSet: z.strictObject({ kind: z.literal('passphraseSet'), person: z.string().min(1).max(60) }),
} as const;

export const entryBodySchema = z.discriminatedUnion('kind', [
  jointEntrySchemas.jointOpened,
  jointEntrySchemas.jointChanged,
  jointEntrySchemas.consumables,
  jointEntrySchemas.temperatureReading,
  jointEntrySchemas.polarityConfirmed,
  jointEntrySchemas.crew,
  jointEntrySchemas.layerRelease,
  jointEntrySchemas.hold,
  jointEntrySchemas.loggedElsewhere,
  jointEntrySchemas.passMoved,
  jointEntrySchemas.disposition,
  rigEntrySchemas.verification,
  rigEntrySchemas.correction,
  rigEntrySchemas.rigEvent,
  rigEntrySchemas.carriage,
  otherEntrySchemas.qualification,
  otherEntrySchemas.procedureStatus,
  otherEntrySchemas.passphraseSet,
  reviewEntrySchemas.scanReport,
  reviewEntrySchemas.reviewFinding,
  reviewEntrySchemas.annotation,
  watchEntrySchemas.watchChanged,
  watchEntrySchemas.callMark,
]);
export type EntryBody = z.infer<typeof entryBodySchema>;
export type EntryKind = EntryBody['kind'];
export type EntryOf<K extends EntryKind> = Entry & { readonly body: Extract<EntryBody, { kind: K }> };

/** Kinds that are entered only with the author's passphrase, by routes of their own. */
export const PASSPHRASE_NEEDED: readonly EntryKind[] = ['disposition', 'passphraseSet'];

/** Kinds that need a reason even the first time. */
export const REASON_NEEDED: readonly EntryKind[] = [
  'hold',
  'passMoved',
  'disposition',
  'correction',
  'procedureStatus',
  'watchChanged',
];

const written = {
  author: z.string().min(1).max(60),
  /** The day of the shift, which for work past midnight is the day it began. */
  shiftDate: z.iso.date(),
  reason: z.string().trim().min(1).max(500).nullable(),
  /** Id of the entry this one puts right. */
  corrects: z.string().max(60).nullable(),
  body: entryBodySchema,
};

/** POST /api/v1/entries. */
export const newEntrySchema = z.strictObject(written);
export type NewEntry = z.infer<typeof newEntrySchema>;

export const entrySchema = z.strictObject({
  /** Position in the journal, from 1; also the order of everything folded. */
  number: z.int().positive(),
  id: z.string().min(1).max(60),
  at: utcSchema,
  origin: originSchema,
  ...written,
});
export type Entry = z.infer<typeof entrySchema>;

export { standing, standingOf } from './standing.ts';

/** Which joint, rig, person or procedure an entry is about: what it is found by. */
export function subjectOf(body: EntryBody): string {
  if ('joint' in body) return `joint ${body.joint}`;
  if ('rig' in body) return `rig ${body.site}/${body.rig}`;
  if ('person' in body) return `person ${body.person}`;
  if (body.kind === 'watchChanged') return 'watch';
  if (body.kind === 'callMark') return `pass ${body.passId}`;
  return `procedure ${body.procedureId}`;
}

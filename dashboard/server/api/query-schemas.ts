import { z } from 'zod';
import { originSchema, streamIdSchema, topicIdSchema } from '#core/messages/common';
import { EVENT_TYPES } from '#core/messages/event';
import { CHANNEL_NAMES, type Channel, isChannel } from '#core/sample/channels';

/** A whole number written out in decimal digits. */
function whole(min: number, max: number, otherwise: number) {
  return z
    .string()
    .regex(/^\d{1,9}$/, `use a whole number from ${min} to ${max}`)
    .transform(Number)
    .pipe(z.int().min(min).max(max))
    .default(otherwise);
}

export const pageQuery = {
  limit: whole(1, 200, 50),
  before: z.string().max(600).optional(),
};

/** A moment: RFC 3339 UTC ("2026-01-31T08:00:00Z"), or record time in µs as digits. */
export const momentSchema = z
  .string()
  .max(40)
  .transform((text, ctx): Moment => {
    const us = /^\d{1,16}$/.test(text) ? Number(text) : null;
    if (us !== null && us <= Number.MAX_SAFE_INTEGER) return { kind: 'record', us };
    const ms = z.iso.datetime().safeParse(text).success ? Date.parse(text) : -1;
    if (ms >= 0 && ms * 1000 <= Number.MAX_SAFE_INTEGER) return { kind: 'utc', ms };
    ctx.addIssue({ code: 'custom', message: 'use UTC such as 2026-01-31T08:00:00Z, or record time in µs' });
    return z.NEVER;
  });
export type Moment = { kind: 'record'; us: number } | { kind: 'utc'; ms: number };

const channelsSchema = z
  .string()
  .max(300)
  .transform((text, ctx): Channel[] => {
    const names = text.split(',');
    const unknown = names.find(name => !isChannel(name));
    if (unknown === undefined) return names as Channel[];
    ctx.addIssue({
      code: 'custom',
      message: `no channel "${unknown.slice(0, 40)}"; there are ${CHANNEL_NAMES.join(', ')}`,
    });
    return z.NEVER;
  });

export const rigParams = z.strictObject({ site: topicIdSchema, rig: topicIdSchema });
export const jointParams = z.strictObject({ joint: z.string().trim().min(1).max(80) });
export const passParams = z.strictObject({ passId: z.string().min(1).max(60) });

/** `points`: buckets a channel, each with a least and a greatest value. */
export const pointsQuery = { points: whole(1, 2000, 600), channels: channelsSchema.optional() };
export const samplesQuery = z.strictObject({
  from: momentSchema.optional(),
  to: momentSchema.optional(),
  stream: streamIdSchema.optional(),
  ...pointsQuery,
});
export const passSamplesQuery = z.strictObject(pointsQuery);
export const passesQuery = z.strictObject({
  joint: z.string().trim().min(1).max(80).optional(),
  site: topicIdSchema.optional(),
  rig: topicIdSchema.optional(),
  origin: originSchema.optional(),
  ...pageQuery,
});
export const jointsQuery = z.strictObject({ origin: originSchema.optional(), ...pageQuery });
export const jointQuery = z.strictObject({ origin: originSchema.optional() });
export const eventsQuery = z.strictObject({
  site: topicIdSchema.optional(),
  rig: topicIdSchema.optional(),
  type: z.enum(EVENT_TYPES).optional(),
  from: z.iso.datetime().optional(),
  to: z.iso.datetime().optional(),
  ...pageQuery,
});
export const assignmentsQuery = z.strictObject({
  site: topicIdSchema.optional(),
  rig: topicIdSchema.optional(),
  ...pageQuery,
});

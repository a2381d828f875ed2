import type { z } from 'zod';
import { ackSchema } from '#core/messages/ack';
import { alarmsSchema } from '#core/messages/alarms';
import { assignmentSchema } from '#core/messages/assignment';
import { clockPingSchema } from '#core/messages/clock-ping';
import { eventSchema } from '#core/messages/event';
import { healthSchema } from '#core/messages/health';
import { infoSchema } from '#core/messages/info';
import { liveSchema } from '#core/messages/live';
import { passMessageSchema } from '#core/messages/pass';
import { procedureMessageSchema } from '#core/messages/procedure-message';
import { recordSchema } from '#core/messages/record';
import { statusSchema } from '#core/messages/status';
import { timeAnswerSchema } from '#core/messages/time-answer';
import { watchSchema } from '#core/messages/watch';
import type { DashboardTopicKind, EdgeTopicKind } from '#core/topics/topics';

/** What an edge may say on each of its topics. */
export const EDGE_SCHEMAS = {
  status: statusSchema,
  info: infoSchema,
  live: liveSchema,
  record: recordSchema,
  event: eventSchema,
  pass: passMessageSchema,
  alarms: alarmsSchema,
  health: healthSchema,
  clock: clockPingSchema,
} as const satisfies Record<EdgeTopicKind, z.ZodType>;

/** What the dashboard says to an edge. */
export const DASHBOARD_SCHEMAS = {
  ack: ackSchema,
  assignment: assignmentSchema,
  procedure: procedureMessageSchema,
  time: timeAnswerSchema,
  watch: watchSchema,
} as const satisfies Record<DashboardTopicKind, z.ZodType>;

export type EdgeMessage = {
  [K in EdgeTopicKind]: { readonly kind: K; readonly message: z.infer<(typeof EDGE_SCHEMAS)[K]> };
}[EdgeTopicKind];

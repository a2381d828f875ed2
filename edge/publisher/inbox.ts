/** What arrives from dashboards: only this rig's topics, only what its schema allows; the rest is counted. */
import type { z } from 'zod';
import { type Ack, ackSchema } from '#core/messages/ack';
import { type Assignment, assignmentSchema } from '#core/messages/assignment';
import { type ProcedureMessage, procedureMessageSchema } from '#core/messages/procedure-message';
import { type TimeAnswer, timeAnswerSchema } from '#core/messages/time-answer';
import { type Watch, watchSchema } from '#core/messages/watch';
import { parseTopic, type RigAddress, topicOf } from '#core/topics/topics';
import type { InternalEvents } from '../internal-events.ts';

/** Far more than a procedure takes; more is not read. */
const MAX_PAYLOAD_BYTES = 512 * 1024;

export interface InboxHandlers {
  readonly onAck: (ack: Ack) => void;
  readonly onAssignment: (assignment: Assignment) => void;
  readonly onProcedure: (message: ProcedureMessage) => void;
  readonly onTime: (answer: TimeAnswer) => void;
  readonly onWatch: (watch: Watch) => void;
}

export function inboxSubscriptions(address: RigAddress): string[] {
  // Taken together from the table of topics; the wildcard stands for the item.
  return [
    `${topicOf(address, 'ack')}/+`,
    topicOf(address, 'assignment'),
    `${topicOf(address, 'procedure')}/+`,
    `${topicOf(address, 'time')}/+`,
    topicOf(address, 'watch'),
  ];
}

/**
 * What is said again until it is heard needs no promise of the broker: an ack comes with every resent batch, the time is
 * asked for anew. A cluster keeps a consumer of QoS 1 on several disks, and one of QoS 0 nowhere.
 */
export function inboxQos(subscription: string): 0 | 1 {
  const kind = subscription.split('/')[4];
  return kind === 'ack' || kind === 'time' ? 0 : 1;
}

export function receive(
  topic: string,
  payload: Uint8Array,
  address: RigAddress,
  handlers: InboxHandlers,
  events: InternalEvents,
): void {
  const parsed = parseTopic(topic);
  if (!parsed || parsed.site !== address.site || parsed.rig !== address.rig) {
    events.emit('messageForeign', { topic });
    return;
  }
  const read = <T>(schema: z.ZodType<T>, misfit: (value: T) => string | null): T | null => {
    const result = decode(payload, schema);
    const reason = typeof result === 'string' ? result : misfit(result.value);
    if (reason === null && typeof result !== 'string') return result.value;
    events.emit('messageInvalid', { topic, reason });
    return null;
  };
  if (parsed.kind === 'ack') {
    const ack = read(ackSchema, value =>
      value.store === parsed.item ? null : 'its store is not the topic’s',
    );
    if (ack) handlers.onAck(ack);
  } else if (parsed.kind === 'assignment') {
    const assignment = read(assignmentSchema, () => null);
    if (assignment) handlers.onAssignment(assignment);
  } else if (parsed.kind === 'watch') {
    const watch = read(watchSchema, () => null);
    if (watch) handlers.onWatch(watch);
  } else if (parsed.kind === 'procedure') {
    const message = read(procedureMessageSchema, value =>
      value.procedure.id === parsed.item ? null : 'its procedure id is not the topic’s',
    );
    if (message) handlers.onProcedure(message);
  } else if (parsed.kind === 'time') {
    const answer = read(timeAnswerSchema, value =>
      value.store === parsed.item ? null : 'its store is not the topic’s',
    );
    if (answer) handlers.onTime(answer);
  } else {
    events.emit('messageForeign', { topic });
  }
}

/** The value, or one clause that says what is wrong with the payload. */
function decode<T>(payload: Uint8Array, schema: z.ZodType<T>): { value: T } | string {
  if (payload.length > MAX_PAYLOAD_BYTES) return `${payload.length} bytes are too many`;
  let json: unknown;
  try {
    json = JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(payload));
  } catch {
    return 'it is not JSON';
  }
  const result = schema.safeParse(json);
  if (result.success) {
    // Half a character has no UTF-8: a pass that names it could not be signed.
    return holdsHalfCharacter(result.data) ? 'it holds half of a character' : { value: result.data };
  }
  const issue = result.error.issues[0];
  const where = issue?.path.join('.') || 'the message';
  return `${where}: ${issue?.message ?? 'not as its schema says'}`.slice(0, 300);
}

function holdsHalfCharacter(value: unknown): boolean {
  // JSON.stringify writes a lone surrogate, and nothing else, as an escape from d800 to dfff.
  return /(?<!\\)(?:\\\\)*\\ud[89a-f]/.test(JSON.stringify(value));
}

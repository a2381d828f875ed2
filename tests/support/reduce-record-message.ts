/** A record as an edge with a full disk would send it, made independently of the edge. */
import { createHash } from 'node:crypto';
import { type RecordMessage, recordBodySchema } from '#core/messages/record';
import { isEmptied, pruneRecord, thinRecord } from '#core/record/reduce-record';

export function reduceMessage(message: RecordMessage, to: 'thinned' | 'pruned'): RecordMessage {
  const whole = recordBodySchema.parse(JSON.parse(message.body));
  const left = to === 'thinned' ? thinRecord(whole) : pruneRecord(whole);
  if (!left) throw new Error('there is nothing to reduce');
  const body = isEmptied(left) ? '' : JSON.stringify(left);
  const text = ['girthlog.reduced/1', message.hash, body].join('\n');
  return { ...message, body, reduced: { to, bodyHash: createHash('sha256').update(text).digest('hex') } };
}

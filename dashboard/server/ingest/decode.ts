/** Topic and bytes → a message that fits its schema, or a named refusal. Never throws, whatever arrives. */
import { EDGE_TOPICS, type EdgeTopicKind, parseTopic, type RigAddress } from '#core/topics/topics';
import type { InternalEvent } from '../internal-events.ts';
import { EDGE_SCHEMAS, type EdgeMessage } from './topic-schemas.ts';

export const MAX_PAYLOAD_BYTES = 65_536;

export type Decoded =
  | { readonly ok: true; readonly address: RigAddress; readonly edge: EdgeMessage }
  /** One of our own, come back through the broker. */
  | { readonly ok: true; readonly address: RigAddress; readonly edge: null }
  | { readonly ok: false; readonly event: InternalEvent; readonly detail: string };

const utf8 = new TextDecoder('utf-8', { fatal: true });

export function decodeMessage(topic: string, payload: Uint8Array): Decoded {
  const parsed = parseTopic(topic);
  if (!parsed) return { ok: false, event: 'topicForeign', detail: topic.slice(0, 120) };
  const address = { site: parsed.site, rig: parsed.rig };
  if (!Object.hasOwn(EDGE_TOPICS, parsed.kind)) return { ok: true, address, edge: null };
  const kind = parsed.kind as EdgeTopicKind;
  if (payload.byteLength > MAX_PAYLOAD_BYTES) {
    return { ok: false, event: 'payloadTooLarge', detail: `${topic}: ${payload.byteLength} bytes` };
  }
  let text: string;
  try {
    text = utf8.decode(payload);
  } catch {
    return { ok: false, event: 'payloadNotText', detail: topic };
  }
  const json = parseJson(text);
  if (json === undefined) return { ok: false, event: 'payloadNotJson', detail: topic };
  const result = EDGE_SCHEMAS[kind].safeParse(json);
  if (!result.success) {
    const issue = result.error.issues[0];
    const where = issue ? `${issue.path.join('.')}: ${issue.message}` : 'unreadable';
    return { ok: false, event: 'payloadInvalid', detail: `${topic} ${where}`.slice(0, 300) };
  }
  return { ok: true, address, edge: { kind, message: result.data } as EdgeMessage };
}

/** undefined for text that is not JSON, nesting too deep for the parser included. */
export function parseJson(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

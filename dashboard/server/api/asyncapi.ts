/** The AsyncAPI 3 document of the MQTT side, from the same schemas that check messages. */
import { DASHBOARD_TOPICS, EDGE_TOPICS, type TopicKind } from '#core/topics/topics';
import { DASHBOARD_SCHEMAS, EDGE_SCHEMAS } from '../ingest/topic-schemas.ts';
import { jsonSchema } from './openapi.ts';

type Json = Record<string, unknown>;

const SUMMARIES: Record<TopicKind, string> = {
  status: 'The edge is there, has stopped, or (last will) was lost',
  info: 'What the rig’s stream is made of',
  live: 'At most 10 a second, for the eye only; the newest counts',
  record: 'The durable lane: one batch with its hash; released by the ack of each required store',
  event: 'Something happened on the rig’s stream',
  pass: 'A pass with its ids, open or closed',
  alarms: 'Conditions that are true now',
  health: 'The edge’s own state',
  clock: 'What time is it? Answered on `time`; the edge measures its clock by it and sets nothing',
  ack: 'Everything of the stream up to `upto` is committed in this store',
  assignment: 'What the rig is about to weld; it labels the record and moves nothing',
  procedure: 'The procedure revision that the assignment names',
  time: 'When a `clock` question came and when this answer left, by the clock of the store',
  watch: 'How changes along the weld are called; it changes no limit and no rig',
};
/** Kinds with one more level in the topic, and what it holds. */
const ITEMS: Partial<Record<TopicKind, string>> = { ack: 'store', procedure: 'procedure', time: 'store' };

export function asyncApiDocument(): Json {
  const channels: Json = {};
  const operations: Json = {};
  const add = (kind: TopicKind, schema: Parameters<typeof jsonSchema>[0], edgeSends: boolean): void => {
    const { qos, retain } = { ...EDGE_TOPICS, ...DASHBOARD_TOPICS }[kind];
    const item = ITEMS[kind];
    const id = { description: 'a–z, 0–9 and hyphen, at most 64 characters' };
    channels[kind] = {
      address: `girthlog/1/{site}/{rig}/${kind}${item === undefined ? '' : `/{${item}}`}`,
      description: SUMMARIES[kind],
      parameters: { site: id, rig: id, ...(item === undefined ? {} : { [item]: id }) },
      messages: {
        [kind]: { contentType: 'application/json', payload: jsonSchema(schema, 'output') },
      },
    };
    operations[edgeSends ? `receive-${kind}` : `send-${kind}`] = {
      action: edgeSends ? 'receive' : 'send',
      channel: { $ref: `#/channels/${kind}` },
      bindings: { mqtt: { qos, retain, bindingVersion: '0.2.0' } },
    };
  };
  for (const [kind, schema] of Object.entries(EDGE_SCHEMAS)) add(kind as TopicKind, schema, true);
  for (const [kind, schema] of Object.entries(DASHBOARD_SCHEMAS)) add(kind as TopicKind, schema, false);
  return {
    asyncapi: '3.0.0',
    info: {
      title: 'Girthlog over MQTT',
      version: '1',
      license: { name: 'MIT' },
      description:
        'As the dashboard sees it. MQTT 3.1.1, payloads at most 64 KiB of JSON, each naming its origin. ' +
        'Nothing on any topic starts, stops or adjusts a rig.',
    },
    defaultContentType: 'application/json',
    servers: { local: { host: '127.0.0.1:1883', protocol: 'mqtt', protocolVersion: '3.1.1' } },
    channels,
    operations,
  };
}

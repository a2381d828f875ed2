/**
 * MQTT topics: `girthlog/1/<site>/<rig>/<kind>[/<item>]`, ids `[a-z0-9-]+`, MQTT 3.1.1.
 *
 * Nothing on any topic starts, stops or adjusts a rig.
 */
export const TOPIC_ROOT = 'girthlog/1';

/** What an edge publishes, and how. `record` is the durable lane, released only by the store's ack. */
export const EDGE_TOPICS = {
  status: { qos: 1, retain: true },
  info: { qos: 1, retain: true },
  live: { qos: 0, retain: false },
  record: { qos: 1, retain: false },
  event: { qos: 1, retain: false },
  pass: { qos: 1, retain: false },
  alarms: { qos: 1, retain: true },
  health: { qos: 1, retain: true },
  clock: { qos: 0, retain: false },
} as const;

/** What a dashboard publishes to an edge; each takes an item after the kind except `assignment` and `watch`. */
export const DASHBOARD_TOPICS = {
  ack: { qos: 1, retain: true },
  assignment: { qos: 1, retain: true },
  procedure: { qos: 1, retain: true },
  watch: { qos: 1, retain: true },
  time: { qos: 0, retain: false },
} as const;

export type EdgeTopicKind = keyof typeof EDGE_TOPICS;
export type DashboardTopicKind = keyof typeof DASHBOARD_TOPICS;
export type TopicKind = EdgeTopicKind | DashboardTopicKind;

export interface RigAddress {
  readonly site: string;
  readonly rig: string;
}

export interface ParsedTopic extends RigAddress {
  readonly kind: TopicKind;
  /** The store for `ack` and `time`, the procedure id for `procedure`, else null. */
  readonly item: string | null;
}

const ID = /^[a-z0-9-]+$/;

/** True for an id that may stand in a topic: one or more of a–z, 0–9 and hyphen. */
export function isTopicId(text: string): boolean {
  return text.length <= 64 && ID.test(text);
}

/** The topic of one kind for one rig. Throws RangeError on an id that a topic cannot carry. */
export function topicOf(address: RigAddress, kind: TopicKind, item: string | null = null): string {
  for (const id of [address.site, address.rig, ...(item === null ? [] : [item])]) {
    if (!isTopicId(id)) throw new RangeError(`"${id}" is not a topic id: use a-z, 0-9 and "-"`);
  }
  const base = `${TOPIC_ROOT}/${address.site}/${address.rig}/${kind}`;
  return item === null ? base : `${base}/${item}`;
}

/** What a topic names, or null when it is not one of ours. */
export function parseTopic(topic: string): ParsedTopic | null {
  const parts = topic.split('/');
  const [root, version, site, rig, kind, item, ...rest] = parts;
  if (`${root}/${version}` !== TOPIC_ROOT || rest.length > 0) return null;
  if (site === undefined || rig === undefined || !isTopicId(site) || !isTopicId(rig)) return null;
  if (kind === undefined) return null;
  if (kind === 'ack' || kind === 'procedure' || kind === 'time') {
    return item !== undefined && isTopicId(item) ? { site, rig, kind, item } : null;
  }
  if (item !== undefined) return null;
  if (kind === 'assignment' || kind === 'watch' || Object.hasOwn(EDGE_TOPICS, kind)) {
    return { site, rig, kind: kind as TopicKind, item: null };
  }
  return null;
}

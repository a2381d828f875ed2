/**
 * Who may say and hear what, written down by hand from the MQTT part of the interface ("an edge speaks under its own
 * topics and hears what is for it; only the store says ack, assignment, procedure"), and held against every broker.
 */
export interface AccessRow {
  /** The name in the certificate. */
  readonly who: string;
  readonly does: 'publish' | 'receive';
  readonly topic: string;
  readonly allowed: boolean;
}

const RIG_A = 'spread-1/rig-a';
const RIG_B = 'spread-1/rig-b';
const at = (rig: string, kind: string): string => `girthlog/1/${rig}/${kind}`;

const OF_EDGES = ['status', 'info', 'live', 'record', 'event', 'pass', 'alarms', 'health', 'clock'];
const OF_STORES = ['ack/truck', 'assignment', 'procedure/example-610', 'watch', 'time/truck'];
const NOBODYS = [
  at(RIG_A, 'start'),
  at(RIG_A, 'status/more'),
  at(RIG_A, 'ack'),
  'girthlog/2/spread-1/rig-a/status',
  'girthlog/1/spread-1/status',
  'other/topic',
];

const rows = (
  who: string,
  does: AccessRow['does'],
  allowed: boolean,
  topics: readonly string[],
): AccessRow[] => topics.map(topic => ({ who, does, topic, allowed }));

export const ACCESS_MATRIX: readonly AccessRow[] = [
  ...rows(
    RIG_A,
    'publish',
    true,
    OF_EDGES.map(kind => at(RIG_A, kind)),
  ),
  ...rows(
    RIG_A,
    'publish',
    false,
    OF_EDGES.map(kind => at(RIG_B, kind)),
  ),
  ...rows(
    RIG_A,
    'publish',
    false,
    OF_EDGES.map(kind => at('spread-2/rig-a', kind)),
  ),
  ...rows(
    RIG_A,
    'publish',
    false,
    OF_STORES.map(kind => at(RIG_A, kind)),
  ),
  ...rows(
    RIG_A,
    'publish',
    false,
    OF_STORES.map(kind => at(RIG_B, kind)),
  ),
  ...rows(RIG_A, 'publish', false, NOBODYS),
  ...rows(RIG_B, 'publish', true, [at(RIG_B, 'record')]),
  ...rows(RIG_B, 'publish', false, [at(RIG_A, 'record')]),
  ...rows(
    'store.truck',
    'publish',
    true,
    OF_STORES.map(kind => at(RIG_A, kind)),
  ),
  ...rows(
    'store.truck',
    'publish',
    false,
    OF_EDGES.map(kind => at(RIG_A, kind)),
  ),
  ...rows('store.truck', 'publish', false, [at(RIG_A, 'ack/office'), at(RIG_A, 'time/office')]),
  ...rows('store.office', 'publish', true, [at(RIG_A, 'ack/office'), at(RIG_A, 'time/office')]),
  ...rows('store.office', 'publish', false, [at(RIG_A, 'ack/truck'), at(RIG_A, 'time/truck')]),

  ...rows(
    RIG_A,
    'receive',
    true,
    OF_STORES.map(kind => at(RIG_A, kind)),
  ),
  ...rows(RIG_A, 'receive', true, [at(RIG_A, 'ack/office'), at(RIG_A, 'time/office')]),
  ...rows(
    RIG_A,
    'receive',
    false,
    OF_STORES.map(kind => at(RIG_B, kind)),
  ),
  ...rows(
    RIG_A,
    'receive',
    false,
    OF_EDGES.map(kind => at(RIG_B, kind)),
  ),
  ...rows(
    'store.truck',
    'receive',
    true,
    OF_EDGES.map(kind => at(RIG_A, kind)),
  ),
  ...rows(
    'store.truck',
    'receive',
    true,
    OF_EDGES.map(kind => at(RIG_B, kind)),
  ),
];

export const WHO: readonly string[] = [...new Set(ACCESS_MATRIX.map(({ who }) => who))];

/**
 * Figures for a monitoring program. Format: OpenMetrics 1.0, https://prometheus.io/docs/specs/om/open_metrics_spec/
 * (one TYPE a family, counters end in _total, the text ends in # EOF).
 */
import { describe, expect, it } from 'vitest';
import type { Rig } from '#core/messages/api';
import type { Health } from '#core/messages/health';
import { Metrics } from '../../../dashboard/server/metrics.ts';
import { START_MS, STREAM, testLive } from '../../support/test-records.ts';

const HEALTH: Health = {
  origin: 'real',
  at: new Date(START_MS).toISOString(),
  software: '0.1.0',
  uptimeS: 3600,
  rssMb: 80,
  stream: STREAM,
  source: 'stalled',
  clock: { state: 'holdover', offsetMs: -250 },
  store: {
    committedSeq: 900,
    waiting: 17,
    bytes: 123_456,
    freeBytes: null,
    syncP99Ms: 42,
    lagS: 0.5,
    room: {
      level: 'low',
      availableBytes: 1e9,
      capacityBytes: 2e9,
      daysLeft: 6.25,
      wholeSince: null,
      thinned: 3,
      pruned: 40,
      thinnedWaiting: true,
      ballast: 'ready',
    },
  },
  cursors: { truck: 883 },
  counters: { batchCommitted: 900, storeRetry: 2 },
};

const seat = (rig: string, parts: Partial<Rig>): Rig => ({
  ...{ site: 'spread-1', rig, place: 0, info: null, status: null, health: null, live: null, alarms: null },
  assignment: null,
  ...parts,
});

async function figures() {
  const said = seat('rig-a', {
    health: HEALTH,
    live: testLive(1),
    status: { origin: 'real', state: 'ready', at: HEALTH.at },
  } as Partial<Rig>);
  const metrics = new Metrics({
    truck: {
      counters: () => ({ recordStored: 5, brokerLost: 1 }),
      readers: () => 2,
      readersThinned: () => 1,
      readersWaitingBytes: () => 4096,
      brokerConnected: () => false,
      waitingRecords: () => 7,
      records: () => 1000,
      room: () => ({
        ...{ bytes: 5e9, logBytes: 4096, freeBytes: 1e11, totalBytes: 5e11 },
        ...{ bytesPerDay: null, daysLeft: null },
      }),
      state: () => ({
        conditions: [{ cause: 'storeFull', priority: 'high', since: HEALTH.at, text: 't', action: 'a' }],
      }),
      lastBackupMs: () => START_MS,
      projectionBehind: () => null,
    },
    edges: {
      rigs: () => [said, seat('rig-b', {})],
      heardMs: ({ rig }) => (rig === 'rig-a' ? START_MS : null),
    },
  });
  const { text, contentType } = await metrics.read();
  const value = (line: string): number | null => {
    const found = text.split('\n').find(one => one.startsWith(`${line} `));
    return found === undefined ? null : Number(found.slice(line.length + 1));
  };
  return { text, contentType, value, again: () => metrics.read() };
}

const RIG = 'site="spread-1",rig="rig-a"';

describe('/metrics', () => {
  it('says of each edge what its retained health says', async () => {
    const { value } = await figures();
    const edge = (name: string) => value(`girthlog_edge_${name}{${RIG}}`);
    expect(edge('last_heard_timestamp_seconds')).toBe(START_MS / 1000);
    expect(edge('up')).toBe(1);
    expect(edge('batches_waiting')).toBe(17);
    expect(edge('store_bytes')).toBe(123_456);
    expect(edge('store_days_left')).toBe(6.25);
    expect(edge('batches_thinned')).toBe(3);
    expect(edge('clock_offset_seconds')).toBe(-0.25);
    expect(edge('store_sync_p99_seconds')).toBe(0.042);
    expect(value(`girthlog_edge_recording{${RIG},state="ok"}`)).toBe(1);
    expect(value(`girthlog_edge_clock{${RIG},state="holdover"}`)).toBe(1);
    expect(value(`girthlog_edge_clock{${RIG},state="synced"}`)).toBe(0);
    expect(value(`girthlog_edge_source{${RIG},state="stalled"}`)).toBe(1);
    expect(value(`girthlog_edge_events_total{${RIG},event="storeRetry"}`)).toBe(2);
  });

  it('says of the truck how its store, its disk and its backups are', async () => {
    const { value } = await figures();
    const truck = (name: string) => value(`girthlog_dashboard_${name}`);
    expect(truck('store_bytes')).toBe(5e9);
    expect(truck('store_log_bytes')).toBe(4096);
    expect(truck('disk_free_bytes')).toBe(1e11);
    expect(truck('records_waiting')).toBe(7);
    expect(truck('broker_connected')).toBe(0);
    expect(truck('last_backup_timestamp_seconds')).toBe(START_MS / 1000);
    expect(truck('condition{cause="storeFull"}')).toBe(1);
    expect(truck('condition{cause="diskSpace"}')).toBe(0);
    expect(truck('events_total{event="recordStored"}')).toBe(5);
    expect(value('nodejs_eventloop_lag_p99_seconds')).not.toBeNull();
  });

  it('leaves out what is not known, and never says 0 for it', async () => {
    const { text, value } = await figures();
    expect(value('girthlog_dashboard_store_days_left')).toBeNull();
    expect(value('girthlog_dashboard_projection_behind')).toBeNull();
    expect(value(`girthlog_edge_disk_free_bytes{${RIG}}`)).toBeNull();
    expect(text.split('\n').filter(line => line.includes('rig="rig-b"'))).toEqual([]);
  });

  it('is OpenMetrics, and counters do not add up from one reading to the next', async () => {
    const { text, contentType, again } = await figures();
    expect(contentType).toContain('application/openmetrics-text');
    expect(text.endsWith('# EOF\n')).toBe(true);
    const types = text.split('\n').filter(line => line.startsWith('# TYPE '));
    expect(new Set(types).size).toBe(types.length);
    const own = (of: string): string[] => of.split('\n').filter(line => line.startsWith('girthlog_'));
    expect(own((await again()).text)).toEqual(own(text));
  });
});

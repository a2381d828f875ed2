/** The truck itself, as figures. */
import { TRUCK_CAUSES, type TruckRoom, type TruckState } from '#core/messages/truck';
import type { AddFigure } from './gauge.ts';

export interface TruckSources {
  readonly counters: () => Record<string, number>;
  readonly readers: () => number;
  readonly readersThinned: () => number;
  readonly readersWaitingBytes: () => number;
  readonly brokerConnected: () => boolean;
  readonly waitingRecords: () => number;
  readonly records: () => number;
  readonly room: () => TruckRoom;
  readonly state: () => TruckState;
  readonly lastBackupMs: () => number | null;
  /** Records the projection has still to write; null where there is none. */
  readonly projectionBehind: () => number | null;
}

export function addTruckFigures(gauge: AddFigure, counter: AddFigure, sources: TruckSources): void {
  const one = (name: string, help: string, read: () => number | null): void =>
    gauge(`girthlog_dashboard_${name}`, help, [], () => [{ value: read() }]);
  counter('girthlog_dashboard_events_total', 'Named internal events since start', ['event'], () =>
    Object.entries(sources.counters()).map(([event, value]) => ({ labels: { event }, value })),
  );
  one('stream_readers', 'Screens on the live stream', sources.readers);
  one(
    'stream_readers_thinned',
    'Screens given live values less often, for they cannot keep up',
    sources.readersThinned,
  );
  one('stream_waiting_bytes', 'Bytes that wait for screens, all together', sources.readersWaitingBytes);
  one('broker_connected', '1 while connected to the broker', () => Number(sources.brokerConnected()));
  one('records_waiting', 'Records received and not yet committed', sources.waitingRecords);
  one('records', 'Records in the store', sources.records);
  one('store_bytes', 'File of the store', () => sources.room().bytes);
  one(
    'store_log_bytes',
    'Log beside the store; above 32 MB a reader holds it',
    () => sources.room().logBytes,
  );
  one('disk_free_bytes', 'Free on the disk of the store', () => sources.room().freeBytes);
  one('disk_bytes', 'Size of the disk of the store', () => sources.room().totalBytes);
  one(
    'store_bytes_per_day',
    'Written on the busiest of the last seven days',
    () => sources.room().bytesPerDay,
  );
  one('store_days_left', 'At the pace of the busiest of the last seven days', () => sources.room().daysLeft);
  one('last_backup_timestamp_seconds', 'When the newest scheduled backup was made, Unix time', () => {
    const ms = sources.lastBackupMs();
    return ms === null ? null : ms / 1000;
  });
  one('projection_behind', 'Records the InfluxDB projection has still to write', sources.projectionBehind);
  gauge('girthlog_dashboard_condition', '1 while it is true at the truck', ['cause'], () => {
    const standing = sources.state().conditions.map(({ cause }) => cause);
    return TRUCK_CAUSES.map(cause => ({ labels: { cause }, value: Number(standing.includes(cause)) }));
  });
}

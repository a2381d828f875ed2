/** What each edge says of itself, as figures: edges open no socket, so the truck answers for them. */
import type { Rig } from '#core/messages/api';
import type { AddFigure, Sample } from './gauge.ts';

export interface EdgeSources {
  readonly rigs: () => readonly Rig[];
  /** Unix time in ms at which anything came from a rig; null before. */
  readonly heardMs: (rig: Rig) => number | null;
}

const LABELS = ['site', 'rig'] as const;
const RECORDING = ['ok', 'lagging', 'failed'] as const;
const CLOCK = ['synced', 'holdover', 'unsynced'] as const;
const SOURCE = ['absent', 'opening', 'open', 'streaming', 'stalled', 'closing', 'ended'] as const;

export function addEdgeFigures(gauge: AddFigure, counter: AddFigure, { rigs, heardMs }: EdgeSources): void {
  const each = (read: (rig: Rig) => number | null | undefined) => (): Sample[] =>
    rigs().map(rig => ({ labels: labelsOf(rig), value: read(rig) }));
  const one = (name: string, help: string, read: (rig: Rig) => number | null | undefined): void =>
    gauge(`girthlog_edge_${name}`, help, LABELS, each(read));
  /** 1 for the state it is in, 0 for the others; nothing of an edge that has not said. */
  const states = (
    name: string,
    help: string,
    all: readonly string[],
    read: (rig: Rig) => string | undefined,
  ) =>
    gauge(`girthlog_edge_${name}`, help, [...LABELS, 'state'], () =>
      rigs().flatMap(rig => {
        const now = read(rig);
        if (now === undefined) return [];
        return all.map(state => ({ labels: { ...labelsOf(rig), state }, value: Number(state === now) }));
      }),
    );

  one(
    'last_heard_timestamp_seconds',
    'When anything last came from the edge, Unix time of the truck',
    rig => {
      const ms = heardMs(rig);
      return ms === null ? null : ms / 1000;
    },
  );
  one('up', '1 while the broker says the edge is ready, 0 when it is lost or stopped', ({ status }) =>
    status === null ? null : Number(status.state === 'ready'),
  );
  one('uptime_seconds', 'Since the edge was started', ({ health }) => health?.uptimeS);
  one('resident_memory_bytes', 'Memory of the edge', ({ health }) => health && health.rssMb * 1e6);
  one(
    'batches_waiting',
    'Batches on the edge that a required store has not acknowledged',
    ({ health }) => health?.store.waiting,
  );
  one('store_bytes', 'Store of the edge', ({ health }) => health?.store.bytes);
  one('disk_free_bytes', 'Free on the disk of the edge', ({ health }) => health?.store.freeBytes);
  one(
    'store_days_left',
    'Until undelivered samples would have to give way',
    ({ health }) => health?.store.room?.daysLeft,
  );
  one(
    'store_available_bytes',
    'Until undelivered samples would have to give way',
    ({ health }) => health?.store.room?.availableBytes,
  );
  one(
    'batches_thinned',
    'Batches reduced to values of a second before every store had them',
    ({ health }) => health?.store.room?.thinned,
  );
  one(
    'batches_pruned',
    'Batches without samples, which every store has',
    ({ health }) => health?.store.room?.pruned,
  );
  one('store_lag_seconds', 'How far the store of the edge is behind', ({ health }) => health?.store.lagS);
  one('store_sync_p99_seconds', 'Flush of the store of the edge, 99th percentile', ({ health }) => {
    const ms = health?.store.syncP99Ms;
    return ms === null || ms === undefined ? null : ms / 1000;
  });
  one('clock_offset_seconds', 'Clock of the edge minus that of the truck', ({ health }) => {
    const ms = health?.clock.offsetMs;
    return ms === null || ms === undefined ? null : ms / 1000;
  });
  one(
    'conditions',
    'Alarm conditions of the edge that are true now',
    ({ alarms }) => alarms?.conditions.length,
  );
  states('recording', 'State of the recording', RECORDING, ({ live }) => live?.buffer.recording);
  states('clock', 'State of the clock', CLOCK, ({ health }) => health?.clock.state);
  states('source', 'State of the byte source', SOURCE, ({ health }) => health?.source);
  counter(
    'girthlog_edge_events_total',
    'Named internal events of the edge since its start',
    [...LABELS, 'event'],
    () =>
      rigs().flatMap(rig =>
        Object.entries(rig.health?.counters ?? {}).map(([event, value]) => ({
          labels: { ...labelsOf(rig), event },
          value,
        })),
      ),
  );
}

function labelsOf({ site, rig }: Rig): { site: string; rig: string } {
  return { site, rig };
}

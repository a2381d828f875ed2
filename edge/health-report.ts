/** The whole health page of an edge that opens no socket, from what each of its parts knows. */
import type { Health } from '#core/messages/health';
import type { BlackBox } from './black-box/black-box.ts';
import type { Capture } from './capture/capture.ts';
import type { Recorder } from './capture/recorder.ts';
import type { RecordClock } from './clock/record-clock.ts';
import type { EdgeConfig } from './config/edge-config.ts';
import type { InternalEvents } from './internal-events.ts';
import type { OpenedStore, StoreStats } from './outbox/outbox-types.ts';
import { levelOf } from './outbox/storage-watch.ts';
import type { Publisher } from './publisher/publisher.ts';
import { SOFTWARE } from './software.ts';
import type { Source } from './source/source.ts';

export interface HealthParts {
  readonly config: EdgeConfig;
  readonly events: InternalEvents;
  readonly store: OpenedStore;
  readonly stats: StoreStats;
  readonly clock: RecordClock;
  readonly recorder: Recorder;
  readonly capture: Capture;
  readonly publisher: Publisher;
  readonly blackBox: BlackBox | null;
  readonly source: Source;
  readonly uptimeMs: number;
}

export function healthReport(parts: HealthParts): Health {
  const { config, clock, recorder, stats, publisher } = parts;
  const { lane } = publisher;
  const utc = (us: number | null): string | null => (us === null ? null : clock.utcOf(us));
  return {
    origin: config.origin,
    at: clock.utcOf(clock.nowUs()),
    software: SOFTWARE,
    uptimeS: Math.round(parts.uptimeMs / 1000),
    rssMb: Math.round(process.memoryUsage.rss() / 1e5) / 10,
    stream: parts.store.stream,
    source: parts.capture.sourceState,
    clock: clock.reading(),
    store: {
      committedSeq: lane.committedUpTo,
      waiting: lane.waiting,
      bytes: stats.bytes,
      freeBytes: stats.freeBytes,
      syncP99Ms: recorder.syncP99Ms,
      lagS: recorder.lagMs / 1000,
      room: {
        level: levelOf(stats),
        availableBytes: stats.availableBytes,
        capacityBytes: stats.capacityBytes,
        daysLeft: stats.daysLeft,
        wholeSince: utc(stats.oldestWholeUs),
        thinned: stats.thinned,
        pruned: stats.pruned,
        thinnedWaiting: stats.thinnedWaiting,
        ballast: stats.ballast,
      },
    },
    blackBox: blackBoxHealth(parts, utc),
    cursors: lane.positions(),
    counters: { ...parts.events.counters(), ...parts.source.counters() },
  };
}

function blackBoxHealth(
  { blackBox }: HealthParts,
  utc: (us: number | null) => string | null,
): Health['blackBox'] {
  if (!blackBox) return { state: 'off', bytes: 0, since: null, leftOutBytes: 0 };
  const { fromUs, ...status } = blackBox.status();
  return { ...status, since: utc(fromUs) };
}

/** The dashboard's own state as /api/v1/system tells it. */
import type { System } from '#core/messages/api-lists';
import type { Settings } from './settings.ts';
import { softwareVersion } from './software-version.ts';
import type { DashboardStore } from './store/store.ts';

export interface SystemSources {
  readonly settings: Settings;
  readonly store: Pick<DashboardStore, 'size' | 'streamStates'>;
  /** performance.now() when it started. */
  readonly startedMs: number;
  readonly now: () => Date;
  readonly room: () => System['store']['room'];
  readonly broker: () => { readonly url: string; readonly connected: boolean };
  readonly counters: () => Record<string, number>;
}

export function systemReader(sources: SystemSources): () => System {
  const { settings, store, startedMs, now, room, broker, counters } = sources;
  return () => ({
    serverUtc: now().toISOString(),
    timeZone: settings.timeZone,
    software: softwareVersion(),
    uptimeS: (performance.now() - startedMs) / 1000,
    store: { name: settings.store, ...store.size(), room: room() },
    broker: { ...broker(), embedded: settings.broker === null },
    streams: store.streamStates().map(({ site, rig, stream, origin, first, upto, waiting, conflicts }) => {
      return { site, rig, stream, origin, first, upto, waiting, conflicts };
    }),
    counters: counters(),
  });
}

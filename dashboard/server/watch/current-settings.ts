import { DEFAULT_DRIFT_SETTINGS } from '#core/drift/drift-settings';
import { standingOf } from '#core/journal/standing';
import type { WatchState } from '#core/messages/api-watch';
import type { DriftSettings } from '#core/messages/drift';
import type { DashboardStore } from '../store/store.ts';

/** How changes along the weld are called now, and who chose it; null: as shipped. */
export function currentSettings(store: DashboardStore): {
  settings: DriftSettings;
  changed: WatchState['changed'];
} {
  const entry = standingOf(store.journal.ofKind('watchChanged'), 'watchChanged').at(-1);
  if (!entry) return { settings: DEFAULT_DRIFT_SETTINGS, changed: null };
  const { id, at, author, reason, body } = entry;
  return { settings: body.settings, changed: { entryId: id, at, author, reason } };
}

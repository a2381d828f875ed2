/** What a person should do about the edge's disk. */
import type { Alarms } from '#core/messages/alarms';
import { daysText, type StorageState } from '../outbox/storage-watch.ts';

type Condition = Alarms['conditions'][number];

export function storageConditions(state: StorageState | null, nowUs: number): Condition[] {
  if (!state || state.level === 'ok') return [];
  const { stats } = state;
  const base = { cause: 'storage', quantity: null, sinceUs: nowUs } as const;
  if (state.level === 'thinning') {
    return [
      {
        ...base,
        key: 'storage:thinning',
        priority: 'high',
        text: stats.thinnedWaiting
          ? 'The disk of this edge is full: what has waited longest is kept only as least, mean and greatest of each second.'
          : 'The disk of this edge is full: older samples give way to new ones as long as there are any.',
        action: 'Bring back the link to the truck, or free disk space. Passes and events are all kept.',
      },
    ];
  }
  // In steps of a day or a tenth: a text that changes each second is a new message each second.
  const left =
    stats.daysLeft === null
      ? `${Math.round((10 * (stats.availableBytes ?? 0)) / (stats.capacityBytes || 1)) * 10} % left`
      : `there is room${daysText(stats.daysLeft)}`;
  return [
    {
      ...base,
      key: 'storage:low',
      priority: 'medium',
      text: `The disk of this edge is filling up: ${left}.`,
      action: 'Bring back the link to the truck, or free disk space, before samples have to be thinned.',
    },
  ];
}

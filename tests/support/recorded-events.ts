import type { ReportEvent } from '../../dashboard/server/internal-events.ts';

/** Counts the dashboard's named internal events instead of logging them. */
export function recordedEvents(): { report: ReportEvent; counts: Record<string, number> } {
  const counts: Record<string, number> = {};
  return {
    counts,
    report: (name, _fields, by = 1) => {
      counts[name] = (counts[name] ?? 0) + by;
    },
  };
}

/** What the store of the welds holds of the time of a session: passes, arcs, announced alarms. */
import type { PassMessage } from '#core/messages/pass';
import type { Scored } from '#core/training/score';
import type { TrainingSession } from '#core/training/session';
import type { DashboardStore } from '../store/store.ts';

interface Span {
  readonly from: string;
  readonly to: string;
}

/** Null: it never began. */
export function spanOf({ startedAt, endedAt }: TrainingSession, now: string): Span | null {
  return startedAt === null ? null : { from: startedAt, to: endedAt ?? now };
}

/** A pass that began longer before the session than this is no pass of it. */
const LONGEST_PASS_MS = 2 * 3600 * 1000;

/** Passes that overlap the time, oldest first. */
export function passesIn(store: Pick<DashboardStore, 'passes'>, { from, to }: Span): PassMessage[] {
  const oldest = new Date(Date.parse(from) - LONGEST_PASS_MS).toISOString();
  const found: PassMessage[] = [];
  let before: string | undefined;
  do {
    const { items, next } = store.passes({ limit: 200, before });
    found.push(...items.filter(pass => pass.startUtc <= to && pass.endUtc >= from));
    if ((items.at(-1)?.startUtc ?? oldest) < oldest) break;
    before = next ?? undefined;
  } while (before !== undefined);
  return found.reverse();
}

/** When each arc burned, from its start and stop events; one that burned at either end of the time is cut there. */
export function arcsIn(
  store: Pick<DashboardStore, 'events'>,
  rigs: TrainingSession['rigs'],
  { from, to }: Span,
): Scored['arcs'] {
  return rigs.flatMap(({ rig, side }) => {
    const changes = (['arcStart', 'arcStop'] as const)
      .flatMap(type => eventTimes(store, rig, type, { from, to }).map(at => ({ type, at })))
      .sort((a, b) => (a.at < b.at ? -1 : a.at > b.at ? 1 : a.type === 'arcStop' ? -1 : 1));
    const arcs: { rig: string; side: 'A' | 'B'; from: string; to: string }[] = [];
    let since: string | null = changes[0]?.type === 'arcStop' ? from : null;
    for (const { type, at } of changes) {
      if (type === 'arcStart') since ??= at;
      else if (since !== null) {
        arcs.push({ rig, side, from: since, to: at });
        since = null;
      }
    }
    if (since !== null) arcs.push({ rig, side, from: since, to });
    return arcs;
  });
}

function eventTimes(
  store: Pick<DashboardStore, 'events'>,
  rig: string,
  type: string,
  { from, to }: Span,
): string[] {
  const times: string[] = [];
  let before: string | undefined;
  do {
    const { items, next } = store.events({ rig, type, fromUtc: from, toUtc: to, limit: 200, before });
    times.push(...items.map(({ event }) => event.at));
    before = next ?? undefined;
  } while (before !== undefined);
  return times;
}

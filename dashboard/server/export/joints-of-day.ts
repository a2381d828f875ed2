/** Joints with a pass that began on a day, as passes count now; by number. */
import type { Entry } from '#core/journal/entry';
import type { Origin } from '#core/messages/common';
import type { DashboardStore } from '../store/store.ts';
import type { ExportContext } from './export-context.ts';

export interface Day {
  readonly fromMs: number;
  readonly toMs: number;
}

export function jointsOfDay(
  { store, facts }: Pick<ExportContext, 'store' | 'facts'>,
  origin: Origin,
  { fromMs, toMs }: Day,
): string[] {
  const from = new Date(fromMs).toISOString();
  const to = new Date(toMs).toISOString();
  const passes = store.jointsBegun(origin, from, to);
  const began = (joint: string): boolean =>
    facts
      .joint(joint, origin)
      ?.recorded.some(
        ({ work, message }) => work.joint === joint && message.startUtc >= from && message.startUtc < to,
      ) ?? false;
  const candidates = new Set([
    ...passes.flatMap(({ joint }) => joint ?? []),
    ...movedTo(store, new Set(passes.map(({ passId }) => passId))),
  ]);
  return [...candidates].filter(began).sort((a, b) => (a < b ? -1 : a > b ? 1 : 0));
}

/** Of joints that are named: null where real and simulated work would share an export. */
export function originOfAll(origins: readonly Origin[]): Origin | null {
  const [first = 'real'] = origins;
  return origins.every(origin => origin === first) ? first : null;
}

export const MIXED = 'Real, simulated and replayed joints are never in one export: name those of one origin.';

const movedTo = (store: DashboardStore, passIds: ReadonlySet<string>): string[] =>
  (store.journal.ofKind('passMoved') as Entry[]).flatMap(({ body }) =>
    body.kind === 'passMoved' && passIds.has(body.passId) ? [body.joint] : [],
  );

/** Joints with a pass that began on a day, as passes count now; by number. */
import type { Entry } from '#core/journal/entry';
import type { Origin } from '#core/messages/common';
import type { DashboardStore } from '../store/store.ts';
import type { ExportContext } from './export-context.ts';

export interface Day {
  readonly fromMs: number;
  readonly toMs: number;
}

const PAGE = 200;

export function jointsOfDay(
  { store, facts }: Pick<ExportContext, 'store' | 'facts'>,
  origin: Origin,
  { fromMs, toMs }: Day,
): string[] {
  const from = new Date(fromMs).toISOString();
  const to = new Date(toMs).toISOString();
  const candidates = new Set([...welded(store, origin, from, to), ...movedTo(store)]);
  const began = (joint: string): boolean =>
    facts
      .joint(joint, origin)
      ?.recorded.some(
        ({ work, message }) => work.joint === joint && message.startUtc >= from && message.startUtc < to,
      ) ?? false;
  return [...candidates].filter(began).sort((a, b) => (a < b ? -1 : a > b ? 1 : 0));
}

function* welded(store: DashboardStore, origin: Origin, from: string, to: string): Generator<string> {
  let before: string | undefined;
  do {
    const page = store.joints(origin, PAGE, before);
    for (const { joint, firstUtc, lastUtc } of page.items) {
      // Newest work first: from here on all of it is older.
      if (lastUtc < from) return;
      if (firstUtc < to) yield joint;
    }
    before = page.next ?? undefined;
  } while (before !== undefined);
}

/** Of joints that are named: null where real and simulated work would share an export. */
export function originOfAll(origins: readonly Origin[]): Origin | null {
  const [first = 'real'] = origins;
  return origins.every(origin => origin === first) ? first : null;
}

export const MIXED = 'Real, simulated and replayed joints are never in one export: name those of one origin.';

const movedTo = (store: DashboardStore): string[] =>
  (store.journal.ofKind('passMoved') as Entry[]).flatMap(({ body }) =>
    body.kind === 'passMoved' ? [body.joint] : [],
  );

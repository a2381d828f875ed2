/** What was entered about one recorded pass beside its record: moves, judgements, corrections, readiness. */
import { correctedPass } from '#core/journal/corrections';
import type { EntryOf } from '#core/journal/entry';
import type { Judgement, PassJournal } from '#core/messages/api-pass-journal';
import type { PassMessage } from '#core/messages/pass';
import { keepIfThereIsRoom } from '../store/store-errors.ts';
import type { DashboardContext } from './context.ts';
import { redatedPass } from './redated-pass.ts';
import { rejudge } from './rejudge.ts';

export type PassJournalContext = Pick<DashboardContext, 'store' | 'board' | 'facts' | 'now'> & {
  readonly system: () => { readonly software: string };
};

export function passJournal(pass: PassMessage, context: PassJournalContext): PassJournal {
  const { store, facts } = context;
  const { passId } = pass;
  const recorded = facts.recorded(pass);
  const moves = (store.journal.ofKind('passMoved') as EntryOf<'passMoved'>[]).filter(
    ({ body }) => body.passId === passId,
  );
  const { ready, findings } = facts.readinessAt(pass);
  return {
    pass,
    redated: redatedPass(store, pass),
    work: recorded.work,
    moves: moves.map(({ id, author, at, reason, body: { joint, side, pass: to } }) => ({
      passId,
      entryId: id,
      author,
      at,
      reason,
      from: recorded.recordedAs,
      to: { joint, side, pass: to },
    })),
    judgements: [recordedJudgement(pass), ...moves.flatMap(move => movedJudgement(move, context))],
    ...correctedPass(pass, store.journal.about(`rig ${pass.site}/${pass.rig}`)),
    readiness: { ready, findings },
    entries: moves,
  };
}

/** Computed once and kept; samples that had not come yet are asked for again the next time. */
export function movedJudgement(
  entry: EntryOf<'passMoved'>,
  { store, board, now, system }: PassJournalContext,
): Judgement[] {
  const kept = store.journal.judgement(entry.id);
  if (kept !== null) return [JSON.parse(kept) as Judgement];
  const pass = store.pass(entry.body.passId);
  if (!pass) return [];
  const referenceRadiusMm = board.find(pass)?.info?.referenceRadiusMm ?? null;
  const { software } = system();
  const judgement = rejudge(pass, entry, { store, software, at: now().toISOString(), referenceRadiusMm });
  if (judgement.verdicts.length > 0) {
    keepIfThereIsRoom(() => store.journal.addJudgement(entry.id, JSON.stringify(judgement)));
  }
  return [judgement];
}

function recordedJudgement({ procedureId, procedureRevision, pass, deviations }: PassMessage): Judgement {
  return {
    basis: 'recorded',
    entryId: null,
    procedureId,
    procedureRevision,
    pass: pass.procedurePass,
    verdicts: pass.verdicts,
    deviations,
    at: null,
    software: null,
    notes: [],
  };
}

/** One recorded pass as an export shows it: what it counts as, when it was, and its samples. */
import type { RecordedPass } from '#core/journal/joint-facts';
import type { Judgement, RedatedPass } from '#core/messages/api-pass-journal';
import type { PassMessage } from '#core/messages/pass';
import type { Procedure } from '#core/procedure/procedure';
import { type PassJournalContext, passJournal } from '../api/pass-journal.ts';
import type { StoredAssignment } from '../store/store.ts';
import { type PassSamples, passSamples } from './pass-samples.ts';

export interface PassExport {
  readonly message: PassMessage;
  readonly work: RecordedPass['work'];
  readonly move: RecordedPass['move'];
  /** As it counts now: the recorded one, or that of the last move. */
  readonly judgement: Judgement | null;
  readonly redated: RedatedPass | null;
  /** UTC of a record time of the pass, ms; of its start and end as shown. */
  readonly utcOf: (tUs: number) => number;
  /** Null where none is stored. */
  readonly samples: PassSamples | null;
  /** Radius travel is reported at, mm; null where the rig has not said it: reported travel then is taken as that at the weld. */
  readonly referenceRadiusMm: number | null;
  /** Travel at the weld per reported travel. */
  readonly travelRatio: number;
  /** What the rig announced, s. */
  readonly samplePeriodS: number | null;
  /** As it was recorded: what a replay needs. */
  readonly assigned: NonNullable<StoredAssignment['work']> | null;
  readonly procedure: Procedure | null;
}

export function passExport(recorded: RecordedPass, context: PassJournalContext): PassExport {
  const { store, board } = context;
  const { message, work, move } = recorded;
  const { judgements, redated } = passJournal(message, context);
  const info = board.find(message)?.info ?? null;
  const assigned =
    message.assignmentId === null ? null : (store.assignment(message.assignmentId)?.work ?? null);
  const { procedureId, procedureRevision } = message;
  const procedure =
    procedureId === null || procedureRevision === null
      ? null
      : (store.procedure(procedureId, procedureRevision)?.procedure ?? null);
  const referenceRadiusMm = info?.referenceRadiusMm ?? null;
  const diameterMm = assigned?.outsideDiameterMm ?? procedure?.pipe?.outsideDiameterMm ?? null;
  const shiftMs = redated
    ? Date.parse(redated.startUtc) - Math.floor(message.startUs / 1000)
    : Date.parse(message.startUtc) - Math.floor(message.startUs / 1000);
  const utcOf = (tUs: number): number => Math.floor(tUs / 1000) + shiftMs;
  return {
    message,
    work,
    move,
    judgement: judgements.at(-1) ?? null,
    redated,
    utcOf,
    samples: passSamples(message, store, redated ? utcOf : null),
    referenceRadiusMm,
    travelRatio: referenceRadiusMm !== null && diameterMm !== null ? diameterMm / 2 / referenceRadiusMm : 1,
    samplePeriodS: info?.samplePeriodS ?? null,
    assigned,
    procedure,
  };
}

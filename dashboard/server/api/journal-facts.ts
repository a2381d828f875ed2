/** Gathers what the folds of shared-core/journal stand on, from the store and what each rig last said. */
import { localDate } from '#core/csv/local-time';
import { type Entry, type EntryOf, standingOf } from '#core/journal/entry';
import {
  type AssignedWork,
  type JointFacts,
  jointProcedure,
  type RecordedPass,
} from '#core/journal/joint-facts';
import { foldJoint } from '#core/journal/joint-fold';
import { movesByPass, recordedPass } from '#core/journal/moved-passes';
import type { ProposalFacts } from '#core/journal/proposal';
import { type RigFacts, rigReadiness } from '#core/journal/readiness';
import type { ProcedureState, RigReadiness } from '#core/messages/api-journal';
import type { Origin } from '#core/messages/common';
import type { PassMessage } from '#core/messages/pass';
import type { RigAddress } from '#core/topics/topics';
import type { RigBoard } from '../live/rig-board.ts';
import type { DashboardStore } from '../store/store.ts';
import { JointList } from './joint-list.ts';
import { originShown } from './joint-ring.ts';

export interface JournalFactsOptions {
  readonly store: DashboardStore;
  readonly board: RigBoard;
  readonly now: () => Date;
  /** IANA zone of the job, UTC where none is said. */
  readonly zone?: string;
}

/** Passes that are asked after when no joint is known of them. */
const UNASSIGNED_LIMIT = 200;
/** Joints a proposal looks at, newest work. */
const PROPOSAL_JOINTS = 60;
const HISTORY = 30;

export class JournalFacts {
  readonly list: JointList;
  /** IANA zone of the job. */
  readonly zone: string;
  private readonly options: JournalFactsOptions;
  /** Moves as they stand, by the newest entry they were read with. */
  private read: { readonly head: number; readonly moves: ReadonlyMap<string, EntryOf<'passMoved'>> } | null =
    null;

  constructor(options: JournalFactsOptions) {
    this.options = options;
    this.zone = options.zone ?? 'UTC';
    this.list = new JointList({ ...options, factsOf: joint => this.joint(joint) });
  }

  /** What the joint's folds stand on; null where nothing is known under this number. */
  joint(joint: string, asked?: Origin): JointFacts | null {
    const { store, board, now } = this.options;
    const moves = this.moves();
    const movedIn = [...moves.values()]
      .filter(({ body }) => body.joint === joint)
      .flatMap(({ body }) => store.pass(body.passId) ?? []);
    const assignments = board.assignmentsOf(joint);
    const about = store.journal.about(`joint ${joint}`);
    const origins = new Set([
      ...store.jointOrigins(joint),
      ...movedIn.map(pass => pass.origin),
      ...assignments.map(one => one.origin),
    ]);
    if (origins.size + about.length === 0) return null;
    const known = [...origins, ...about.map(entry => entry.origin)];
    const origin = originShown(inOrder(known), asked);
    const recorded = this.recordedOf(joint, origin, movedIn, moves);
    const ids = new Set(recorded.map(({ message }) => message.passId));
    const entries = byNumber([
      ...about,
      // Where nothing was ever moved there is nothing to look through.
      ...(moves.size === 0 ? [] : (store.journal.ofKind('passMoved') as EntryOf<'passMoved'>[])).filter(
        ({ body }) => ids.has(body.passId),
      ),
    ]);
    const assigned = assignments
      .filter(one => one.origin === origin)
      .sort((a, b) => (a.at < b.at ? -1 : 1))
      .flatMap((one): AssignedWork[] => (one.work ? [one.work] : []));
    const at = now().toISOString();
    const people = new Map(store.people().map(({ id, name }) => [id, name]));
    const bare: JointFacts = {
      joint,
      origin,
      now: at,
      today: localDate(now().getTime(), this.zone),
      entries,
      recorded,
      assigned,
      procedure: null,
      procedureState: 'unknown',
      qualifications: standingOf(store.journal.ofKind('qualification'), 'qualification'),
      nameOf: id => people.get(id) ?? id,
    };
    const named = jointProcedure(foldJoint(bare).particulars, assigned, recorded);
    if (!named) return bare;
    const procedure = store.procedure(named.id, named.revision)?.procedure ?? null;
    return { ...bare, procedure, procedureState: this.procedureState(named.id, named.revision) };
  }

  /** A pass with what it counts as now. */
  recorded(message: PassMessage): RecordedPass {
    const move = this.moves().get(message.passId) ?? null;
    return recordedPass(message, this.assignedPass(message), move);
  }

  /** The standing move of each pass that was moved. */
  private moves(): ReadonlyMap<string, EntryOf<'passMoved'>> {
    const { journal } = this.options.store;
    const head = journal.head();
    if (this.read?.head !== head) this.read = { head, moves: movesByPass(journal.ofKind('passMoved')) };
    return this.read.moves;
  }

  private recordedOf(
    joint: string,
    origin: Origin,
    movedIn: readonly PassMessage[],
    moves: ReadonlyMap<string, EntryOf<'passMoved'>>,
  ): RecordedPass[] {
    const own = this.options.store.joint(joint, origin)?.passes ?? [];
    const all = new Map([...own, ...movedIn.filter(pass => pass.origin === origin)].map(p => [p.passId, p]));
    return [...all.values()]
      .sort((a, b) => (a.startUtc === b.startUtc ? 0 : a.startUtc < b.startUtc ? -1 : 1))
      .map(message => recordedPass(message, this.assignedPass(message), moves.get(message.passId) ?? null));
  }

  private assignedPass({ assignmentId, pass }: PassMessage): string | null {
    // A pass that names itself needs no look at what was assigned.
    return assignmentId === null || pass.procedurePass !== null
      ? null
      : (this.options.store.assignment(assignmentId)?.work?.pass ?? null);
  }

  /** Draft until approved; the last word that stands counts. */
  procedureState(id: string, revision: number): ProcedureState {
    if (!this.options.store.procedure(id, revision)) return 'unknown';
    return this.procedureStatus(id, revision)?.body.status ?? 'draft';
  }

  procedureStatus(id: string, revision: number): EntryOf<'procedureStatus'> | null {
    const entries = standingOf(this.options.store.journal.about(`procedure ${id}`), 'procedureStatus');
    return entries.filter(({ body }) => body.procedureRevision === revision).at(-1) ?? null;
  }

  /** Recorded with no joint and moved to none since, newest first. */
  unassigned(): PassMessage[] {
    const { store } = this.options;
    return store.passesWithoutJoint(UNASSIGNED_LIMIT, [...this.moves().keys()]);
  }

  rig(address: RigAddress, unassigned: readonly PassMessage[] = this.unassigned()): RigFacts {
    const { store, board, now } = this.options;
    const { site, rig } = address;
    const known = board.find(address);
    return {
      site,
      rig,
      now: now().toISOString(),
      entries: store.journal.about(`rig ${site}/${rig}`),
      channels: known?.info?.channels.map(({ channel }) => channel) ?? null,
      clockOffsetMs: known?.health?.clock.offsetMs ?? known?.live?.clock.offsetMs ?? null,
      passesWithoutJoint: unassigned
        .filter(pass => pass.site === site && pass.rig === rig && pass.state === 'closed')
        .map(({ passId }) => passId),
    };
  }

  readiness(address: RigAddress): RigReadiness {
    return rigReadiness(this.rig(address));
  }

  /** Of several rigs at once: what belongs to none of them is read once. */
  readinessOf(addresses: readonly RigAddress[]): RigReadiness[] {
    const unassigned = this.unassigned();
    return addresses.map(address => rigReadiness(this.rig(address, unassigned)));
  }

  /** As it was when the pass began, by what had been entered until then. */
  readinessAt({ site, rig, startUtc, clock }: PassMessage): RigReadiness {
    const facts = this.rig({ site, rig }, []);
    return rigReadiness({
      ...facts,
      now: startUtc,
      entries: facts.entries.filter(({ at }) => at <= startUtc),
      clockOffsetMs: clock.offsetMs,
    });
  }

  proposal({ site, rig }: RigAddress): ProposalFacts {
    const { store, board } = this.options;
    const history = store
      .assignments({ site, rig, limit: HISTORY })
      .items.flatMap(({ work }) => (work ? [work] : []));
    const origin = board.originOf({ site, rig });
    const joints = this.list.newest(origin, PROPOSAL_JOINTS).toReversed();
    const names = new Set([...joints.map(({ joint }) => joint), ...history.slice(0, 1).map(w => w.joint)]);
    return { site, rig, history, joints: [...names].flatMap(name => this.joint(name, origin) ?? []) };
  }
}

/** Real before simulated before replay. */
function inOrder(origins: readonly Origin[]): Origin[] {
  return (['real', 'simulated', 'replay'] as const).filter(origin => origins.includes(origin));
}

function byNumber(entries: readonly Entry[]): Entry[] {
  return [...new Map(entries.map(entry => [entry.number, entry])).values()].sort(
    (a, b) => a.number - b.number,
  );
}

/** What a rig may weld next, by the WPS and what is done; a person confirms it or takes something else. */
import type { Proposal } from '../messages/api-journal.ts';
import type { Side } from '../messages/common.ts';
import { finding, pagePath } from './finding.ts';
import type { JointFacts } from './joint-facts.ts';
import { jointProcedure } from './joint-facts.ts';
import { foldJoint, isDone, isDoneOn, type JointFold, standingOfPass } from './joint-fold.ts';
import { cutOutOf } from './repairs.ts';
import { workFindings } from './work-findings.ts';

/** What a rig was assigned, or recorded, before; newest first. */
export interface RigWork {
  readonly joint: string;
  readonly side: Side;
  readonly pass: string;
}

export interface ProposalFacts {
  readonly site: string;
  readonly rig: string;
  /** Newest first: the first one is before the rig now, or was last. */
  readonly history: readonly RigWork[];
  /** Joints that may be worked on, oldest first. */
  readonly joints: readonly JointFacts[];
}

interface Candidate {
  readonly facts: JointFacts;
  readonly fold: JointFold;
}

/** On a moving line a rig does the same one or two passes of every joint (common practice); this many say which. */
const RECENT = 12;

export function proposeWork(facts: ProposalFacts): Proposal {
  const last = facts.history[0];
  if (!last) return startingProposal(facts);
  const candidates = facts.joints
    .filter(isInLine)
    .map((joint): Candidate => ({ facts: joint, fold: foldJoint(joint) }));
  const own = candidates.find(one => one.facts.joint === last.joint);
  if (own && !isDoneOn(own.fold, last.pass, last.side)) {
    const isOpen = standingOfPass(own.fold, last.pass, last.side)?.state === 'open';
    return propose(
      own,
      last.side,
      last.pass,
      isOpen ? 'It is being welded now.' : 'It is assigned and not welded yet.',
    );
  }
  const recent = facts.history.slice(0, RECENT);
  const joints = new Set(recent.map(({ joint }) => joint));
  const usual = new Set(recent.map(({ pass }) => pass));
  const ownNext = own && nextOn(own, last.side);
  // One joint so far, or a pass this rig also does: it stays.
  if (own && ownNext !== undefined && !own.fold.hold && (joints.size === 1 || usual.has(ownNext))) {
    return propose(
      own,
      last.side,
      ownNext,
      `${last.pass} is done; the WPS has ${ownNext} next on this side.`,
    );
  }
  for (const other of candidates) {
    if (other === own || other.fold.hold) continue;
    const next = nextOn(other, last.side);
    if (next === undefined || !usual.has(next)) continue;
    const why = `This rig last welded ${last.pass} of joint ${last.joint}; joint ${other.facts.joint} has ${next} next on side ${last.side}.`;
    return propose(other, last.side, next, why);
  }
  if (own && ownNext !== undefined) {
    const why = `No other joint waits for what this rig welds; joint ${last.joint} has ${ownNext} next on side ${last.side}.`;
    return propose(own, last.side, ownNext, why);
  }
  return nothing(
    `Joint ${last.joint} is done on side ${last.side}, and no other joint waits: enter the next joint.`,
    facts,
  );
}

/** A joint that was cut out waits for nobody. */
const isInLine = ({ entries }: JointFacts): boolean => cutOutOf(entries) === null;

/** A rig that has done nothing yet: the oldest joint with work left, first pass, side A unless that is under way. */
function startingProposal(facts: ProposalFacts): Proposal {
  for (const joint of facts.joints.filter(isInLine)) {
    const candidate = { facts: joint, fold: foldJoint(joint) };
    if (candidate.fold.hold) continue;
    for (const side of ['A', 'B'] as const) {
      const next = nextOn(candidate, side);
      const isTaken = joint.assigned.some(work => work.side === side && work.pass === next);
      if (next === undefined || isTaken) continue;
      return propose(
        candidate,
        side,
        next,
        `Nothing was assigned to this rig yet; joint ${joint.joint} has ${next} next on side ${side}.`,
      );
    }
  }
  return nothing('Nothing was assigned to this rig yet, and no joint is open: enter the joint.', facts);
}

/** The first pass of the WPS that is not done on the side; one being welded by another rig is not offered. */
function nextOn({ facts, fold }: Candidate, side: Side): string | undefined {
  const next = (facts.procedure?.passes ?? []).find(({ name }) => {
    const standing = standingOfPass(fold, name, side);
    return standing === null || !isDone(standing);
  });
  return next && standingOfPass(fold, next.name, side)?.state !== 'open' ? next.name : undefined;
}

function propose({ facts, fold }: Candidate, side: Side, pass: string, why: string): Proposal {
  const named = jointProcedure(fold.particulars, facts.assigned, facts.recorded);
  return {
    joint: facts.joint,
    side,
    pass,
    procedureId: named?.id ?? null,
    procedureRevision: named?.revision ?? null,
    why,
    findings: workFindings(facts, fold, { side, pass }),
  };
}

function nothing(why: string, { site, rig }: ProposalFacts): Proposal {
  const link = pagePath(['rigs', site, rig, 'assign']);
  return {
    joint: null,
    side: null,
    pass: null,
    procedureId: null,
    procedureRevision: null,
    why,
    findings: [finding('noProposal', why, 'Enter the joint number and choose the pass.', link)],
  };
}

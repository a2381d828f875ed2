import type { Rig } from '#core/messages/api';
import type { Assignment } from '#core/messages/assignment';
import type { Origin, Side } from '#core/messages/common';
import type { Drifting } from '#core/messages/drift';
import type { Live, OutOfRange, PassMismatch, RunningPass } from '#core/messages/live';
import type { Feed } from './feed-state.ts';

export interface Work {
  readonly joint: string;
  readonly side: Side;
  readonly pass: string;
  readonly procedureId: string;
  readonly procedureRevision: number;
}

/** What the screen shows of one rig, at one moment. `values` is null whenever nothing valid arrives. */
export interface SideView {
  readonly key: string;
  readonly site: string;
  readonly rig: string;
  readonly place: number;
  readonly origin: Origin | null;
  readonly feed: Feed;
  /** What the edge itself says it is recording under; before its first word, what was assigned. */
  readonly work: Work | null;
  /** Assigned here but not yet taken up by the edge. */
  readonly pending: NonNullable<Assignment['work']> | 'clear' | null;
  readonly values: Live['values'] | null;
  readonly pass: RunningPass | null;
  readonly outOfRange: readonly OutOfRange[];
  readonly passMismatch: PassMismatch | null;
  /** Changes along the weld that hold now; trims are told apart (data/trims.ts). */
  readonly drifting: readonly Drifting[];
  /** The last position known; only with `values` is it where the arc is now. */
  readonly position: Live['position'];
  readonly clock: Live['clock'] | null;
  readonly buffer: Live['buffer'] | null;
  readonly outsideDiameterMm: number | null;
  /** Run-out spans from this side's start that the edge reported as unobserved while this page watched. */
  readonly unseenMm: readonly { readonly fromMm: number; readonly toMm: number }[];
  readonly voltageTapPoint: string | null;
  readonly referenceRadiusMm: number | null;
}

const workOf = (rig: Rig): Work | null =>
  rig.live === null ? (rig.assignment?.work ?? null) : rig.live.assignment;

function pendingOf(rig: Rig): SideView['pending'] {
  if (rig.live === null || rig.assignment === null) return null;
  const { id, work } = rig.assignment;
  if (work === null) return rig.live.assignment === null ? null : 'clear';
  return rig.live.assignment?.id === id ? null : work;
}

/** The side a rig's message describes; every number is withheld unless `feed` says it is valid now. */
export function sideView(rig: Rig, feed: Feed, unseenMm: SideView['unseenMm']): SideView {
  const { live } = rig;
  const valid = feed.cause === null ? live : null;
  return {
    key: `${rig.site}/${rig.rig}`,
    site: rig.site,
    rig: rig.rig,
    place: rig.place,
    origin: live?.origin ?? rig.info?.origin ?? rig.status?.origin ?? null,
    feed,
    work: workOf(rig),
    pending: pendingOf(rig),
    values: valid?.values ?? null,
    pass: valid?.pass ?? null,
    outOfRange: valid?.outOfRange ?? [],
    passMismatch: valid?.passMismatch ?? null,
    drifting: (valid?.drifting ?? []).filter(({ rule }) => rule !== 'trim'),
    position: live?.position ?? null,
    clock: live?.clock ?? null,
    buffer: live?.buffer ?? null,
    outsideDiameterMm: rig.assignment?.work?.outsideDiameterMm ?? null,
    unseenMm,
    voltageTapPoint: rig.info?.voltageTapPoint ?? null,
    referenceRadiusMm: rig.info?.referenceRadiusMm ?? null,
  };
}

/** Changes in any of these are drawn at once; the rest keeps to two a second. */
export function flagsOf(view: SideView): string {
  return [
    view.feed.status,
    view.feed.cause,
    view.origin,
    view.outOfRange.map(flag => flag.quantity).join(','),
    view.passMismatch?.likelier.join(','),
    view.drifting.map(({ number, rule }) => `${number}${rule}`).join(','),
    view.buffer?.recording,
    view.clock?.state,
    view.work && `${view.work.joint}/${view.work.side}/${view.work.pass}`,
    typeof view.pending === 'object' ? view.pending?.joint : view.pending,
    view.pass?.index,
    view.pass?.restarts,
  ].join('|');
}

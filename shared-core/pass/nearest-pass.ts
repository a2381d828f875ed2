/**
 * Which pass of the procedure a running weld is nearest to, by wire feed, travel and the device's own
 * program number. Rules and the choice of every number: docs/engine.md "Wrong pass". Never a verdict.
 */
import { type ResolvedLimit, resolveLimits } from '../procedure/limits.ts';
import type { Procedure, ProcedurePass } from '../procedure/procedure.ts';

/** What runs: means over a length of weld. Program null where the device gives none, or gave several. */
export interface RunningSet {
  readonly wireFeedMmS: number;
  readonly travelMmS: number;
  readonly program: number | null;
}

/** How far the running set lies from a pass, in half-widths of that pass's tolerance. */
export interface PassDistance {
  readonly pass: string;
  readonly distance: number;
}

export type NearestPass =
  /** The assigned pass stands: it fits, or no other fits clearly better. */
  | { readonly kind: 'assigned'; readonly distances: readonly PassDistance[] }
  /** These fit better, in the procedure's order; more than one where they cannot be told apart. */
  | {
      readonly kind: 'other';
      readonly likelier: readonly string[];
      readonly distances: readonly PassDistance[];
    }
  | { readonly kind: 'notJudged'; readonly reason: string };

/** Tolerance half-width where the procedure gives a nominal and no range, share of it (our own choice). */
const HALF_WIDTH_WITHOUT_RANGE = 0.08;
/** No tolerance counts as narrower than this share of its centre: what measuring and settling leave. */
const LEAST_HALF_WIDTH = 0.02;
/** Another program number counts like this many half-widths. */
const PROGRAM_HALF_WIDTHS = 2;
/** Another pass is likelier when its distance is at most this share of the assigned one's. */
const CLEARLY_NEARER = 0.5;
/** A set further than this from a pass looks like it only with its program number, half-widths. */
const LOOKS_LIKE = 2;
/** Passes this close to the nearest cannot be told from it, half-widths. */
const ALIKE = 0.25;

/** Where a quantity is meant to be, and how far it may be off either way. */
interface Target {
  readonly centre: number;
  readonly below: number;
  readonly above: number;
}

interface Candidate {
  readonly pass: string;
  readonly distance: number;
  /** Inside the tolerance of each. */
  readonly feedFits: boolean;
  readonly travelFits: boolean;
  /** The device's number against the pass's; `unknown` where either has none. */
  readonly program: 'own' | 'other' | 'unknown';
}

/** `inZone` says whether a clock zone holds where the weld is now. */
export function nearestPass(
  running: RunningSet,
  procedure: Procedure,
  assigned: string,
  inZone: (zone: NonNullable<ResolvedLimit['clockZone']>) => boolean,
): NearestPass {
  // A number that no pass of the procedure has says nothing about any of them.
  const program = procedure.passes.some(pass => pass.program === running.program) ? running.program : null;
  const candidates = procedure.passes.flatMap(
    pass => candidateOf(pass, { ...running, program }, inZone) ?? [],
  );
  const own = candidates.find(({ pass }) => pass === assigned);
  if (!own) {
    return {
      kind: 'notJudged',
      reason: `the procedure gives no wire feed or no travel for ${assigned} here`,
    };
  }
  const distances = candidates.map(({ pass, distance }) => ({ pass, distance }));
  const others = candidates.filter(candidate => candidate !== own);
  if (others.length === 0) {
    return { kind: 'notJudged', reason: 'the procedure gives no other pass with wire feed and travel here' };
  }
  const nearer = clearlyNearer(own, others);
  const found = nearer.length > 0 ? nearer : selectedOnDevice(own, others);
  if (found.length === 0) return { kind: 'assigned', distances };
  return { kind: 'other', likelier: found.map(({ pass }) => pass), distances };
}

/** The nearest, with those that cannot be told from it, where the assigned pass does not fit. */
function clearlyNearer(own: Candidate, others: readonly Candidate[]): Candidate[] {
  if (own.feedFits && own.travelFits && own.program !== 'other') return [];
  const near = others.filter(
    ({ distance, program }) =>
      distance <= own.distance * CLEARLY_NEARER && (distance <= LOOKS_LIKE || program === 'own'),
  );
  const nearest = Math.min(...near.map(({ distance }) => distance));
  return near.filter(({ distance }) => distance <= nearest + ALIKE);
}

/** The device names another pass itself, and its wire feed fits it, whatever the travel is. */
function selectedOnDevice(own: Candidate, others: readonly Candidate[]): Candidate[] {
  if (own.program !== 'other') return [];
  return others.filter(({ program, feedFits }) => program === 'own' && feedFits);
}

function candidateOf(
  pass: ProcedurePass,
  running: RunningSet,
  inZone: (zone: NonNullable<ResolvedLimit['clockZone']>) => boolean,
): Candidate | null {
  const limits = limitsOf(pass).filter(({ clockZone }) => clockZone === null || inZone(clockZone));
  const feed = targetOf(limits.filter(({ quantity }) => quantity === 'wireFeedSpeed'));
  const travel = targetOf(limits.filter(({ quantity }) => quantity === 'travelSpeed'));
  if (!feed || !travel) return null;
  const feedOff = offBy(running.wireFeedMmS, feed);
  const travelOff = offBy(running.travelMmS, travel);
  const known = running.program !== null && pass.program !== undefined;
  const program = !known ? 'unknown' : pass.program === running.program ? 'own' : 'other';
  const programOff = program === 'other' ? PROGRAM_HALF_WIDTHS : 0;
  return {
    pass: pass.name,
    distance: Math.sqrt((feedOff ** 2 + travelOff ** 2) / 2 + programOff ** 2),
    feedFits: feedOff <= 1,
    travelFits: travelOff <= 1,
    program,
  };
}

function limitsOf(pass: ProcedurePass): ResolvedLimit[] {
  try {
    return resolveLimits(pass);
  } catch {
    // A unit that does not fit its quantity: the pass has no limits to compare with.
    return [];
  }
}

function offBy(value: number, { centre, below, above }: Target): number {
  return value < centre ? (centre - value) / below : (value - centre) / above;
}

/** The widest of the limits that hold here; those of a clock zone stand before those of the whole pass. */
function targetOf(limits: readonly ResolvedLimit[]): Target | null {
  const zoned = limits.filter(({ clockZone }) => clockZone !== null);
  const targets = (zoned.length > 0 ? zoned : limits).flatMap(limit => targetOfLimit(limit) ?? []);
  const [first, ...more] = targets;
  if (!first) return null;
  return more.reduce((a, b) => (b.below + b.above > a.below + a.above ? b : a), first);
}

function targetOfLimit({ min, nominal, max }: ResolvedLimit): Target | null {
  const centre = nominal ?? (min !== null && max !== null ? (min + max) / 2 : null);
  if (centre === null || centre <= 0) return null;
  const below = min === null ? null : centre - min;
  const above = max === null ? null : max - centre;
  const least = centre * LEAST_HALF_WIDTH;
  const given = Math.max(below ?? 0, above ?? 0);
  // An exact value has no width, and a nominal alone gives none.
  const fallback = given > 0 ? given : centre * HALF_WIDTH_WITHOUT_RANGE;
  const width = (side: number | null): number => Math.max(side !== null && side > 0 ? side : fallback, least);
  return { centre, below: width(below), above: width(above) };
}

/**
 * One alarm: someone must act now. It is live, and ends when the condition is gone and a person has seen it. A
 * deviation is what happened to a pass, for good; nothing here knows of one.
 */

export const PRIORITIES = ['high', 'medium', 'low'] as const;
export type Priority = (typeof PRIORITIES)[number];

/**
 * After ISA-18.2 / IEC 62682 as OPC UA Part 9 restates it (from memory). `rtnUnacked`: returned to normal, not
 * acknowledged. `latched`: normal and acknowledged, kept until a person resets it; only HIGH latches, because
 * what was not recorded meanwhile has to be noted by hand.
 */
export const LIFECYCLES = ['normal', 'unacked', 'acked', 'rtnUnacked', 'latched'] as const;
export type Lifecycle = (typeof LIFECYCLES)[number];

export const AVAILABILITIES = ['inService', 'shelved', 'suppressedByDesign', 'outOfService'] as const;
export type Availability = (typeof AVAILABILITIES)[number];

/** Why a condition of the weld says nothing now: no arc, the first 2 s of one, the 1 s after it. */
export const DESIGN_REASONS = ['arcOff', 'start', 'stop'] as const;
export type DesignReason = (typeof DESIGN_REASONS)[number];

/** Put aside by a person, never without an end, ms of the wall clock. */
export interface Shelf {
  readonly by: string;
  readonly reason: string;
  readonly atMs: number;
  readonly untilMs: number;
}

export interface OutOfService {
  readonly by: string;
  readonly reason: string;
  readonly atMs: number;
}

export interface AlarmState {
  readonly lifecycle: Lifecycle;
  readonly priority: Priority;
  /** Of one pass: announced once while that pass lasts, then counted. */
  readonly ofPass: boolean;
  readonly shelf: Shelf | null;
  readonly outOfService: OutOfService | null;
  readonly suppressed: DesignReason | null;
  /** How often it became true. */
  readonly count: number;
  /** Someone was told of it at least once. */
  readonly announced: boolean;
  /** What is true now, or was last, has been on a screen. */
  readonly shown: boolean;
  readonly sinceMs: number | null;
  readonly clearedMs: number | null;
  readonly acknowledged: { readonly by: string; readonly atMs: number } | null;
}

export const NEW_ALARM: Omit<AlarmState, 'priority' | 'ofPass'> = {
  lifecycle: 'normal',
  shelf: null,
  outOfService: null,
  suppressed: null,
  count: 0,
  announced: false,
  shown: false,
  sinceMs: null,
  clearedMs: null,
  acknowledged: null,
};

/** The strongest of what keeps it from being announced. */
export function availabilityOf(
  state: Pick<AlarmState, 'shelf' | 'outOfService' | 'suppressed'>,
): Availability {
  if (state.outOfService) return 'outOfService';
  if (state.shelf) return 'shelved';
  return state.suppressed ? 'suppressedByDesign' : 'inService';
}

/** The condition is true now. */
export const isActive = ({ lifecycle }: Pick<AlarmState, 'lifecycle'>): boolean =>
  lifecycle === 'unacked' || lifecycle === 'acked';

/** Wants a person: to be acknowledged or reset. */
export const isOpen = ({ lifecycle }: Pick<AlarmState, 'lifecycle'>): boolean => lifecycle !== 'normal';

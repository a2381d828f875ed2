/**
 * The alarm machine: (state, input) → state and effects. Effects are data; the desk that runs it announces, logs
 * and answers. It never waits, and one input twice is as one.
 */
import {
  type AlarmState,
  availabilityOf,
  type DesignReason,
  isActive,
  type OutOfService,
  PRIORITIES,
  type Priority,
  type Shelf,
} from './alarm-state.ts';

/** Longest time on the shelf: a shift. Our own choice. */
export const LONGEST_SHELF_MS = 12 * 3_600_000;

interface ByPerson {
  readonly atMs: number;
  readonly by: string;
  readonly reason: string | null;
}

export type AlarmInput =
  /** The condition is true. `again`: something more of it, such as a second quantity out of range. */
  | { readonly type: 'raise'; readonly atMs: number; readonly priority: Priority; readonly again?: boolean }
  | { readonly type: 'clear'; readonly atMs: number }
  | ({ readonly type: 'acknowledge' } & ByPerson)
  | ({ readonly type: 'reset' } & ByPerson)
  | { readonly type: 'shelve'; readonly shelf: Shelf }
  | ({ readonly type: 'unshelve' } & ByPerson)
  | { readonly type: 'suppress'; readonly reason: DesignReason | null; readonly atMs: number }
  | { readonly type: 'removeFromService'; readonly outOfService: OutOfService }
  | ({ readonly type: 'returnToService' } & ByPerson)
  /** Time has passed: a shelf may have ended. */
  | { readonly type: 'time'; readonly atMs: number };

export const LOGGED = [
  'raised',
  'raisedAgain',
  'escalated',
  'cleared',
  'announced',
  'acknowledged',
  'reset',
  'shelved',
  'unshelved',
  'shelfEnded',
  'removedFromService',
  'returnedToService',
] as const;
export type Logged = (typeof LOGGED)[number];

export type Refusal =
  | 'alarmGone'
  | 'conditionTrue'
  | 'acknowledgeFirst'
  | 'shelfInvalid'
  | 'notShelved'
  | 'notOutOfService';

export type AlarmEffect =
  | { readonly type: 'announce' }
  | {
      readonly type: 'log';
      readonly what: Logged;
      readonly by: string | null;
      readonly reason: string | null;
    }
  | { readonly type: 'refuse'; readonly code: Refusal };

export interface AlarmStep {
  readonly state: AlarmState;
  readonly effects: readonly AlarmEffect[];
}

const ANNOUNCE: AlarmEffect = { type: 'announce' };
const log = (what: Logged, by: string | null = null, reason: string | null = null): AlarmEffect => {
  return { type: 'log', what, by, reason };
};
const unchanged = (state: AlarmState): AlarmStep => ({ state, effects: [] });
const refuse = (state: AlarmState, code: Refusal): AlarmStep => {
  return { state, effects: [{ type: 'refuse', code }] };
};

export function alarmStep(state: AlarmState, input: AlarmInput): AlarmStep {
  switch (input.type) {
    case 'raise':
      return isActive(state) ? stillTrue(state, input) : becomesTrue(state, input);
    case 'clear':
      return clear(state, input.atMs);
    case 'acknowledge':
      return acknowledge(state, input);
    case 'reset':
      return reset(state, input);
    case 'shelve':
      return shelve(state, input.shelf);
    case 'unshelve':
      if (!state.shelf) return refuse(state, 'notShelved');
      return backInService({ ...state, shelf: null }, log('unshelved', input.by, input.reason));
    case 'time':
      if (!state.shelf || state.shelf.untilMs > input.atMs) return unchanged(state);
      return backInService({ ...state, shelf: null }, log('shelfEnded'));
    case 'suppress':
      return suppress(state, input.reason);
    case 'removeFromService': {
      const { by, reason } = input.outOfService;
      const effects = [log('removedFromService', by, reason)];
      return { state: { ...state, outOfService: input.outOfService }, effects };
    }
    case 'returnToService': {
      if (!state.outOfService) return refuse(state, 'notOutOfService');
      const returned = log('returnedToService', input.by, input.reason);
      return backInService({ ...state, outOfService: null }, returned);
    }
  }
}

type Raise = Extract<AlarmInput, { type: 'raise' }>;

const isMoreUrgent = (a: Priority, b: Priority): boolean => PRIORITIES.indexOf(a) < PRIORITIES.indexOf(b);
const inService = (state: AlarmState): boolean => availabilityOf(state) === 'inService';

function becomesTrue(state: AlarmState, { atMs, priority }: Raise): AlarmStep {
  const isShown = inService(state);
  const next: AlarmState = {
    ...state,
    lifecycle: 'unacked',
    priority,
    count: state.count + 1,
    shown: isShown,
    sinceMs: atMs,
    clearedMs: null,
    acknowledged: null,
  };
  const raised = log(state.count === 0 ? 'raised' : 'raisedAgain');
  // Not yet acknowledged from before: whoever was told then has not answered, and is not told twice.
  const goesOn = state.lifecycle === 'rtnUnacked' && state.shown;
  return isShown && !goesOn && mayAnnounce(next)
    ? announced(next, [raised])
    : { state: next, effects: [raised] };
}

/** Once in a pass; evidence being lost, or what belongs to no pass, whenever it comes back. */
const mayAnnounce = ({ announced: told, ofPass, priority }: AlarmState): boolean =>
  !told || !ofPass || priority === 'high';

function stillTrue(state: AlarmState, { priority, again = false }: Raise): AlarmStep {
  if (isMoreUrgent(priority, state.priority)) {
    const next: AlarmState = { ...state, priority, lifecycle: 'unacked', acknowledged: null };
    const effects = [log('escalated')];
    return inService(next) ? announced({ ...next, shown: true }, effects) : { state: next, effects };
  }
  if (again) {
    const next: AlarmState = { ...state, lifecycle: 'unacked', acknowledged: null, count: state.count + 1 };
    return { state: next, effects: [log('raisedAgain')] };
  }
  return priority === state.priority ? unchanged(state) : { state: { ...state, priority }, effects: [] };
}

function announced(state: AlarmState, before: readonly AlarmEffect[]): AlarmStep {
  return { state: { ...state, announced: true, shown: true }, effects: [...before, ANNOUNCE] };
}

function clear(state: AlarmState, atMs: number): AlarmStep {
  if (!isActive(state)) return unchanged(state);
  const next = { ...state, clearedMs: atMs };
  const effects = [log('cleared')];
  // Nobody saw it: there is nothing to acknowledge.
  if (!state.shown) return { state: { ...next, lifecycle: 'normal' }, effects };
  if (state.lifecycle === 'unacked') return { state: { ...next, lifecycle: 'rtnUnacked' }, effects };
  return { state: { ...next, lifecycle: rest(state) }, effects };
}

const rest = ({ priority }: AlarmState): 'latched' | 'normal' => (priority === 'high' ? 'latched' : 'normal');

function acknowledge(state: AlarmState, { atMs, by, reason }: ByPerson): AlarmStep {
  if (state.lifecycle === 'normal') return refuse(state, 'alarmGone');
  // Acknowledged already, by another device perhaps: that one stands.
  if (state.lifecycle === 'acked' || state.lifecycle === 'latched') return unchanged(state);
  const lifecycle = state.lifecycle === 'unacked' ? 'acked' : rest(state);
  return {
    state: { ...state, lifecycle, acknowledged: { by, atMs } },
    effects: [log('acknowledged', by, reason)],
  };
}

function reset(state: AlarmState, { by, reason }: ByPerson): AlarmStep {
  if (isActive(state)) return refuse(state, 'conditionTrue');
  if (state.lifecycle === 'rtnUnacked') return refuse(state, 'acknowledgeFirst');
  if (state.lifecycle === 'normal') return refuse(state, 'alarmGone');
  return { state: { ...state, lifecycle: 'normal' }, effects: [log('reset', by, reason)] };
}

function shelve(state: AlarmState, shelf: Shelf): AlarmStep {
  const lengthMs = shelf.untilMs - shelf.atMs;
  if (!(lengthMs > 0 && lengthMs <= LONGEST_SHELF_MS) || shelf.reason.trim() === '') {
    return refuse(state, 'shelfInvalid');
  }
  return { state: { ...state, shelf }, effects: [log('shelved', shelf.by, shelf.reason)] };
}

/** Taken off the shelf, or returned to service: what is true then is told as if it had just begun. */
function backInService(state: AlarmState, returned: AlarmEffect): AlarmStep {
  if (!inService(state) || !isActive(state)) return { state, effects: [returned] };
  return announced({ ...state, lifecycle: 'unacked', acknowledged: null }, [returned]);
}

/** Only what began meanwhile is told when it ends; what was shown before goes on as it was. */
function suppress(state: AlarmState, reason: DesignReason | null): AlarmStep {
  if (state.suppressed === reason) return unchanged(state);
  const next = { ...state, suppressed: reason };
  if (reason !== null || !inService(next) || !isActive(next) || next.shown) return unchanged(next);
  return mayAnnounce(next) ? announced(next, []) : unchanged({ ...next, shown: true });
}

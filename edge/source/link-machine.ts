/**
 * The life of a link as a pure function (state, input) → {state, effects} (docs/serial.md has the drawing).
 *
 *   absent → opening → open (no samples yet) → streaming → stalled → closing → opening …
 *
 * The shell keeps exactly one timer, for `dueUs`, and sends `due` when it fires. A link is tried for ever.
 */
import type { SourceState } from '#core/messages/live';
import type { LinkProblem, LinkProblemCode } from './link-problem.ts';

export interface LinkState {
  readonly name: SourceState;
  /** Since when it has been so to a person: retries do not begin it anew. */
  readonly sinceUs: number;
  readonly detail: string | null;
  readonly dueUs: number | null;
  /** Attempts in a row that did not open. */
  readonly failures: number;
  /** Openings in a row that brought no sample. */
  readonly fruitless: number;
  readonly problem: LinkProblem | null;
  /** When it is tried or opened again. */
  readonly retryUs: number;
  /** The device node was looked for and not found since the link went down. */
  readonly missed: boolean;
  readonly stopping: boolean;
}

export type LinkInput =
  | { readonly type: 'start' }
  | { readonly type: 'opened' }
  /** It could not be opened, or is no longer usable. */
  | { readonly type: 'down'; readonly problem: LinkProblem }
  | { readonly type: 'closed' }
  | { readonly type: 'samples' }
  | {
      readonly type: 'due';
      /** Record time of the newest frame and the newest sample of this opening. */
      readonly frameUs: number | null;
      readonly sampleUs: number | null;
      /** Whether the device node is there, while open the one that was opened; null where there is no such thing. */
      readonly present: boolean | null;
    }
  | { readonly type: 'stop' };

export type LinkEffect = 'open' | 'close';

export interface LinkStep {
  readonly state: LinkState;
  readonly effects: readonly LinkEffect[];
}

export interface LinkSettings {
  /** What a person calls it, such as /dev/ttyUSB0. */
  readonly name: string;
  /** No valid frame for this long while open: stalled. */
  readonly stallUs: number;
  /** There is a device node to look at. */
  readonly hasNode: boolean;
  /** Why no sample comes, where it is known. */
  readonly hint: string | null;
}

const MS = 1000;
const SECOND = 1_000_000;
export const FIRST_RETRY_US = 200 * MS;
export const LONGEST_RETRY_US = 10 * SECOND;
/** A device that is plugged in again, or let go by another program, is back within a second. */
const LOOK_US = 200 * MS;
/** A read of a port that was pulled out may just return nothing: the node tells. */
const LOOK_WHILE_OPEN_US = 50 * MS;
const BUSY_RETRY_US = 800 * MS;
export const REOPEN_US = 3 * SECOND;
const LONGEST_REOPEN_US = 30 * SECOND;
const OPEN_TIMEOUT_US = 10 * SECOND;
export const LEAST_STALL_US = 500 * MS;

/** Watchdog for a sample period: five of them, at least 500 ms. */
export function stallUsOf(samplePeriodUs: number | null): number {
  return Math.max(LEAST_STALL_US, 5 * (samplePeriodUs ?? 0));
}

export function initialLink(nowUs: number): LinkState {
  return {
    name: 'absent',
    sinceUs: nowUs,
    detail: null,
    dueUs: null,
    failures: 0,
    fruitless: 0,
    problem: null,
    retryUs: nowUs,
    missed: false,
    stopping: false,
  };
}

export function stepLink(
  state: LinkState,
  input: LinkInput,
  nowUs: number,
  settings: LinkSettings,
): LinkStep {
  if (state.name === 'ended') return stay(state);
  switch (input.type) {
    case 'start':
      return state.name === 'absent' && state.dueUs === null ? open(state, nowUs) : stay(state);
    case 'opened':
      if (state.name !== 'opening') return stay(state);
      return up(
        { ...state, name: 'open', sinceUs: nowUs, detail: null },
        nowUs + settings.stallUs,
        nowUs,
        settings,
      );
    case 'down':
      return down(state, input.problem, nowUs);
    case 'closed':
      if (state.name !== 'closing') return stay(state);
      return state.stopping ? end(state, nowUs) : open(state, nowUs);
    case 'samples':
      if (state.name !== 'open' && state.name !== 'stalled') return stay(state);
      return up(
        {
          ...state,
          name: 'streaming',
          sinceUs: nowUs,
          detail: null,
          failures: 0,
          fruitless: 0,
          problem: null,
        },
        nowUs + settings.stallUs,
        nowUs,
        settings,
      );
    case 'due':
      return due(state, input, nowUs, settings);
    case 'stop':
      return stop(state, nowUs);
  }
}

function due(
  state: LinkState,
  input: Extract<LinkInput, { type: 'due' }>,
  nowUs: number,
  settings: LinkSettings,
): LinkStep {
  const isUp = state.name === 'open' || state.name === 'streaming' || state.name === 'stalled';
  if (isUp && input.present === false) {
    return down(state, { code: 'gone', sentence: `${settings.name} is gone` }, nowUs);
  }
  switch (state.name) {
    case 'absent':
      return whileAbsent(state, input.present, nowUs);
    case 'opening':
      return down(state, { code: 'silent', sentence: `${settings.name} does not answer` }, nowUs);
    case 'open':
      return watch(state, input.frameUs, 'no frame has come', nowUs, settings);
    case 'streaming':
      return watch(state, input.sampleUs, 'no sample comes', nowUs, settings);
    case 'stalled':
      if (nowUs < state.retryUs) return up(state, state.retryUs, nowUs, settings);
      return closing(
        { ...state, fruitless: state.fruitless + 1, detail: 'opening the line again' },
        nowUs,
        false,
      );
    case 'closing':
    case 'ended':
      return stay(state);
  }
}

/** Data came since `dueUs` was set: look again when it would be missing. Else stalled. */
function watch(
  state: LinkState,
  lastUs: number | null,
  what: string,
  nowUs: number,
  settings: LinkSettings,
): LinkStep {
  const missingAt = (lastUs ?? state.sinceUs) + settings.stallUs;
  if (missingAt > nowUs) {
    const waits = state.name === 'open' && lastUs !== null;
    const why = settings.hint ?? 'waiting for the device to announce its channels';
    const detail = waits ? why : state.detail;
    return up({ ...state, detail }, missingAt, nowUs, settings);
  }
  const patienceUs = Math.min(LONGEST_REOPEN_US, REOPEN_US * 2 ** Math.min(state.fruitless, 8));
  const retryUs = nowUs + patienceUs;
  const detail = `${settings.name} is open, but ${settings.hint ?? what}: opening it again in ${seconds(patienceUs)}`;
  return up({ ...state, name: 'stalled', sinceUs: nowUs, detail, retryUs }, retryUs, nowUs, settings);
}

/** Open: the timer is for `deadlineUs`, or earlier to look whether the node is still there. */
function up(state: LinkState, deadlineUs: number, nowUs: number, { hasNode }: LinkSettings): LinkStep {
  return to({ ...state, dueUs: hasNode ? Math.min(deadlineUs, nowUs + LOOK_WHILE_OPEN_US) : deadlineUs });
}

function whileAbsent(state: LinkState, present: boolean | null, nowUs: number): LinkStep {
  if (!waitsForNode(state.problem) || present === null) {
    return nowUs >= state.retryUs ? open(state, nowUs) : wait(state, nowUs);
  }
  if (present) return state.missed || nowUs >= state.retryUs ? open(state, nowUs) : wait(state, nowUs);
  // Still missing: no attempt can succeed, only the sentence changes.
  const missed = { ...state, missed: true };
  if (nowUs < state.retryUs) return wait(missed, nowUs);
  return absent({ ...missed, failures: state.failures + 1 }, state.problem!, nowUs);
}

function waitsForNode(problem: LinkProblem | null): boolean {
  return problem?.code === 'missing' || problem?.code === 'gone';
}

function open(state: LinkState, nowUs: number): LinkStep {
  const isRetry = state.failures > 0;
  return {
    state: {
      ...state,
      name: 'opening',
      sinceUs: isRetry ? state.sinceUs : nowUs,
      missed: false,
      dueUs: nowUs + OPEN_TIMEOUT_US,
    },
    effects: ['open'],
  };
}

function down(state: LinkState, problem: LinkProblem, nowUs: number): LinkStep {
  if (state.name === 'absent' || state.name === 'closing') return stay(state);
  const sameCause = state.problem === null || problem.code === state.problem.code || waitsForNode(problem);
  const failures = sameCause ? state.failures + 1 : 1;
  const sinceUs = state.name === 'opening' && state.failures > 0 ? state.sinceUs : nowUs;
  const step = absent({ ...state, failures, sinceUs }, problem, nowUs);
  return { state: step.state, effects: ['close'] };
}

function absent(state: LinkState, problem: LinkProblem, nowUs: number): LinkStep {
  const backoffUs = Math.min(
    longestRetry(problem.code),
    FIRST_RETRY_US * 2 ** Math.min(state.failures - 1, 10),
  );
  const retryUs = nowUs + backoffUs;
  const soon = waitsForNode(problem) ? ', or as soon as it is back' : '';
  const detail = `${problem.sentence}: trying again in ${seconds(backoffUs)}${soon}`;
  return wait({ ...state, name: 'absent', problem, detail, retryUs }, nowUs);
}

/** Looks for the device node more often than it tries. */
function wait(state: LinkState, nowUs: number): LinkStep {
  return to({ ...state, dueUs: Math.min(state.retryUs, nowUs + LOOK_US) });
}

function longestRetry(code: LinkProblemCode): number {
  return code === 'busy' ? BUSY_RETRY_US : LONGEST_RETRY_US;
}

function closing(state: LinkState, nowUs: number, stopping: boolean): LinkStep {
  return {
    state: { ...state, name: 'closing', sinceUs: nowUs, dueUs: null, stopping },
    effects: ['close'],
  };
}

function stop(state: LinkState, nowUs: number): LinkStep {
  if (state.name === 'ended' || (state.name === 'closing' && state.stopping)) return stay(state);
  if (state.name === 'absent') return end(state, nowUs);
  if (state.name === 'closing') return to({ ...state, stopping: true });
  return closing({ ...state, detail: null }, nowUs, true);
}

function end(state: LinkState, nowUs: number): LinkStep {
  return to({ ...state, name: 'ended', sinceUs: nowUs, dueUs: null, detail: null });
}

function stay(state: LinkState): LinkStep {
  return { state, effects: [] };
}

const to = stay;

function seconds(us: number): string {
  return `${Number((us / SECOND).toFixed(1))} s`;
}

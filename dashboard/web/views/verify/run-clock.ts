/** One moment on both of this device's clocks. The run time is the difference of the monotonic one. */
export interface Stamp {
  readonly monotonicMs: number;
  readonly wallMs: number;
}

export type Run =
  | { readonly kind: 'idle' }
  | { readonly kind: 'running'; readonly start: Stamp }
  | {
      readonly kind: 'stopped';
      readonly start: Stamp;
      readonly stop: Stamp;
      readonly runS: number;
      /** The two clocks say different times: the device slept, or its clock was set. Null when they agree. */
      readonly disagreementS: number | null;
    };

export const IDLE: Run = { kind: 'idle' };
/** More than a clock's own correction amounts to in a run, s (common practice, no source). */
const CLOCKS_MAY_DIFFER_S = 0.1;
/** A second touch within this is the bounce of a gloved finger, s; no run is that short. */
const BOUNCE_S = 0.5;

export const elapsedS = (start: Stamp, now: Stamp): number => (now.monotonicMs - start.monotonicMs) / 1000;

/** One press of the button: starts, then stops. A stopped run stays until it is cleared. */
export function pressed(run: Run, now: Stamp): Run {
  if (run.kind === 'idle') return { kind: 'running', start: now };
  if (run.kind === 'stopped') return run;
  const runS = elapsedS(run.start, now);
  if (runS < BOUNCE_S) return run;
  const wallS = (now.wallMs - run.start.wallMs) / 1000;
  const differS = Math.abs(wallS - runS);
  return {
    kind: 'stopped',
    start: run.start,
    stop: now,
    runS,
    disagreementS: differS > CLOCKS_MAY_DIFFER_S ? differS : null,
  };
}

/** The moment of an event, on both clocks: when it happened, not when it was handled. */
export function stampOf(event: { readonly timeStamp: number }, now: Stamp): Stamp {
  const lateMs = now.monotonicMs - event.timeStamp;
  // Some browsers stamp events on another scale: then the moment of handling is the best there is.
  if (lateMs < 0 || lateMs > 1000) return now;
  return { monotonicMs: event.timeStamp, wallMs: now.wallMs - lateMs };
}

/** How far a run the edge saw may lie from ours by this device's wall clock and still be the same, s. */
const SAME_RUN_S = 10;

/** True when the edge's run is the one just timed here; a run timed elsewhere only has to be new. */
export function isSameRun(
  edge: { readonly startUtc: string; readonly endUtc: string },
  run: Run,
  nowMs: number,
): boolean {
  const from = Date.parse(edge.startUtc);
  const to = Date.parse(edge.endUtc);
  if (run.kind === 'stopped') {
    return from <= run.stop.wallMs + SAME_RUN_S * 1000 && to >= run.start.wallMs - SAME_RUN_S * 1000;
  }
  return nowMs - to < 300_000 && to - nowMs < SAME_RUN_S * 1000;
}

/** Time as sources see it, passed in so that tests do not wait. */
export interface SourceClock {
  /** Record time, integer µs, monotone. */
  nowUs(): number;
  /** The newest record time of an earlier run: everything from now on lies after it. Absent: there is none. */
  readonly recordedUs?: number | null;
  /** Calls `fire` once after `delayMs`; the returned function cancels. */
  after(delayMs: number, fire: () => void): () => void;
}

/** The process's own timers with a record clock. */
export function systemSourceClock(nowUs: () => number, recordedUs: number | null = null): SourceClock {
  return {
    nowUs,
    recordedUs,
    after: (delayMs, fire) => {
      const timer = setTimeout(fire, delayMs);
      return () => clearTimeout(timer);
    },
  };
}

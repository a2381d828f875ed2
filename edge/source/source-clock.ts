/** Time as sources see it, passed in so that tests do not wait. */
export interface SourceClock {
  /** Record time, integer µs, monotone. */
  nowUs(): number;
  /** Calls `fire` once after `delayMs`; the returned function cancels. */
  after(delayMs: number, fire: () => void): () => void;
}

/** The process's own timers with a record clock. */
export function systemSourceClock(nowUs: () => number): SourceClock {
  return {
    nowUs,
    after: (delayMs, fire) => {
      const timer = setTimeout(fire, delayMs);
      return () => clearTimeout(timer);
    },
  };
}

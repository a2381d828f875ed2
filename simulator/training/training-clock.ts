/** Time as a lesson sees it, passed in so that tests do not wait. */
export interface TrainingClock {
  /** The wall clock: the truth is dated by it. */
  wallMs(): number;
  /** Monotonic: simulated time goes by it. */
  monotonicMs(): number;
  /** Repeats `task` until the returned function is called. */
  every(ms: number, task: () => void): () => void;
}

export const systemTrainingClock: TrainingClock = {
  wallMs: () => Date.now(),
  monotonicMs: () => performance.now(),
  every: (ms, task) => {
    const timer = setInterval(task, ms);
    return () => clearInterval(timer);
  },
};

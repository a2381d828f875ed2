/** Time in which a lesson ran: while it is frozen nothing can be seen, so none of it passes. */

export interface Pause {
  /** RFC 3339 UTC; to null: still. */
  readonly from: string;
  readonly to: string | null;
}

/** UTC → seconds that the lesson ran, up to a constant. Monotone. */
export function runningTime(pauses: readonly Pause[]): (utc: string) => number {
  const spans = pauses.map(({ from, to }) => ({
    fromMs: Date.parse(from),
    toMs: to === null ? Number.POSITIVE_INFINITY : Date.parse(to),
  }));
  return utc => {
    const ms = Date.parse(utc);
    const frozenMs = spans.reduce(
      (sum, { fromMs, toMs }) => sum + Math.max(0, Math.min(ms, toMs) - fromMs),
      0,
    );
    return (ms - frozenMs) / 1000;
  };
}

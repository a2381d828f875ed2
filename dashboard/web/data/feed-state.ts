import type { Rig } from '#core/messages/api';
import type { LinkState } from './stream-client.ts';

/** What a side's status word says. `edgeLost`: the broker reports the edge gone. */
export type FeedStatus = 'arcOn' | 'arcOff' | 'noData' | 'edgeLost' | 'edgeStopped';
export type NoDataCause = 'link' | 'edge' | 'silent' | 'source' | 'held' | 'never';

export interface Feed {
  readonly status: FeedStatus;
  /** Why there are no values; null exactly when there are. */
  readonly cause: NoDataCause | null;
  /** Wall clock of the last valid data, ms; null where none was ever seen. */
  readonly sinceMs: number | null;
  /** The edge's own sentence about its source. */
  readonly detail: string | null;
  readonly arcWasOn: boolean;
}

export interface FeedInput {
  /** The browser's monotonic clock, ms. */
  readonly nowMs: number;
  readonly link: LinkState;
  readonly linkDownSinceMs: number | null;
  readonly rig: Pick<Rig, 'status' | 'live'>;
  /** Monotonic time at which record time last moved on with a streaming source; null: not since this page began. */
  readonly lastFreshMs: number | null;
  /** The same moment on the wall clock. */
  readonly lastFreshWallMs: number | null;
  /** Whether the arc was on in the last valid data. */
  readonly arcWasOn: boolean;
}

/** After this long without new data a last value must not be shown any more (screens, "NO DATA after 2 s"). */
export const STALE_AFTER_MS = 2000;

const parse = (utc: string | undefined): number | null => {
  if (utc === undefined) return null;
  const ms = Date.parse(utc);
  return Number.isFinite(ms) ? ms : null;
};

/** Only data that moved within the last 2 s may be shown as live; everything else says why it is not. */
export function feedState(input: FeedInput): Feed {
  const { rig, lastFreshMs, nowMs, arcWasOn } = input;
  const { live, status } = rig;
  const lastSeenMs = input.lastFreshWallMs ?? parse(live?.at);
  const none = (cause: NoDataCause, sinceMs: number | null, word: FeedStatus = 'noData'): Feed => ({
    status: word,
    cause,
    sinceMs,
    detail: cause === 'source' ? (live?.source.detail ?? null) : null,
    arcWasOn,
  });

  if (input.link !== 'open') return none('link', lastSeenMs ?? input.linkDownSinceMs);
  const fresh = lastFreshMs !== null && nowMs - lastFreshMs <= STALE_AFTER_MS;
  if (!fresh) {
    if (status?.state === 'lost') return none('edge', parse(status.at), 'edgeLost');
    if (status?.state === 'stopped') return none('edge', parse(status.at), 'edgeStopped');
  }
  if (live === null) return none('never', null);
  if (live.source.state !== 'streaming') return none('source', parse(live.source.since) ?? lastSeenMs);
  if (live.arc === 'noData') return none('held', lastSeenMs);
  if (!fresh) return none('silent', lastSeenMs);
  return {
    status: live.arc === 'on' ? 'arcOn' : 'arcOff',
    cause: null,
    sinceMs: null,
    detail: null,
    arcWasOn,
  };
}

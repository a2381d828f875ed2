import { type Signal, signal } from '@preact/signals';
import { useEffect, useMemo } from 'preact/hooks';
import { useApp } from '../../app-context.ts';
import { ApiError } from '../../data/api-client.ts';
import type { RigEntry } from '../../data/rig-entry.ts';
import { STORED_CHANNEL, TrendHistory } from '../../data/trend-history.ts';

/** The store is asked for what is new this often, ms. */
const ASK_EVERY_MS = 2000;
/** Points across the span; each carries a least and a greatest value. */
const POINTS = 360;
const CHANNELS = Object.values(STORED_CHANNEL);

export interface FollowedHistory {
  readonly history: TrendHistory;
  readonly state: Signal<
    { readonly kind: 'loading' | 'ready' } | { readonly kind: 'failed'; detail: string }
  >;
}

/** Follows one rig's stored history while the view is open; the live trail was subscribed to long before. */
export function useTrendHistory(entry: RigEntry, spanS: number): FollowedHistory {
  const { api } = useApp();
  // Another span has other buckets, so it starts anew.
  const followed = useMemo<FollowedHistory>(
    () => ({ history: new TrendHistory(), state: signal({ kind: 'loading' }) }),
    [entry, spanS],
  );
  useEffect(() => {
    let stopped = false;
    let timer: ReturnType<typeof setTimeout> | undefined;
    const { history, state } = followed;
    const bucketUs = (spanS * 1e6) / POINTS;
    const ask = async (): Promise<void> => {
      const nowUs = entry.recordNowUs(performance.now());
      if (nowUs !== null) {
        const oldest = Math.max(0, nowUs - spanS * 1e6 - 5e6);
        const fromUs = history.uptoUs === null ? oldest : Math.max(oldest, history.uptoUs - 2e6);
        const points = Math.max(4, Math.ceil((nowUs - fromUs) / bucketUs));
        try {
          const { site, rig } = entry.rig;
          const answer = await api.samples(site, rig, { fromUs, toUs: nowUs, points, channels: CHANNELS });
          if (stopped) return;
          history.merge(answer);
          history.trim(oldest);
          state.value = { kind: 'ready' };
        } catch (error) {
          state.value = { kind: 'failed', detail: error instanceof ApiError ? error.message : '' };
        }
      }
      if (!stopped) timer = setTimeout(() => void ask(), ASK_EVERY_MS);
    };
    void ask();
    return () => {
      stopped = true;
      clearTimeout(timer);
    };
  }, [api, entry, followed, spanS]);
  return followed;
}

import { useEffect, useState } from 'preact/hooks';
import type { Samples } from '#core/messages/api';
import type { PassMessage } from '#core/messages/pass';
import { useApp } from '../../app-context.ts';
import type { SideView, Work } from '../../data/side-view.ts';
import { STORED_CHANNEL, TrendHistory } from '../../data/trend-history.ts';

/** On either side of the moment, ms. */
export const AROUND_MS = 15_000;
/** From a debrief: so much before the moment, and the same length in all, ms. */
export const LEAD_MS = 10_000;
/** The newest seconds are stored in batches: asked again until they must be there. */
const ASK_EVERY_MS = 2000;
const STORED_WITHIN_MS = 20_000;
const POINTS = 360;

export interface TrendAt {
  readonly history: TrendHistory;
  readonly span: { readonly fromUs: number; readonly toUs: number };
  /** More may still come. */
  readonly coming: boolean;
}

export interface FollowedMoment {
  readonly found: TrendAt | null;
  /** The pass that was welded then; null where none is recorded. */
  readonly pass: PassMessage | null;
  readonly failure: string | null;
}

/** What is stored around one moment, and whose limits held then. */
export function useTrendAt(site: string, rig: string, atMs: number, beforeMs = AROUND_MS): FollowedMoment {
  const { api } = useApp();
  const [found, setFound] = useState<TrendAt | null>(null);
  const [pass, setPass] = useState<PassMessage | null>(null);
  const [failure, setFailure] = useState<string | null>(null);
  useEffect(() => {
    let stopped = false;
    let timer: ReturnType<typeof setTimeout> | undefined;
    const utc = (ms: number): string => new Date(ms).toISOString();
    const ask = async (): Promise<void> => {
      const toMs = atMs - beforeMs + 2 * AROUND_MS;
      const coming = Date.now() < toMs + STORED_WITHIN_MS;
      try {
        const samples = await api.get<Samples>(['rigs', site, rig, 'samples'], {
          from: utc(atMs - beforeMs),
          to: utc(toMs),
          points: String(POINTS),
          channels: Object.values(STORED_CHANNEL).join(','),
        });
        const { passes } = await api.get<{ passes: PassMessage[] }>(['passes'], { site, rig, limit: '20' });
        if (stopped) return;
        const history = new TrendHistory();
        history.merge(samples);
        setFound({ history, span: { fromUs: samples.fromUs, toUs: samples.toUs }, coming });
        setPass(passAt(passes, atMs));
        setFailure(null);
      } catch (error) {
        if (!stopped) setFailure(error instanceof Error ? error.message : '');
      }
      if (!stopped && coming) timer = setTimeout(() => void ask(), ASK_EVERY_MS);
    };
    void ask();
    return () => {
      stopped = true;
      clearTimeout(timer);
    };
  }, [api, site, rig, atMs, beforeMs]);
  return { found, pass, failure };
}

/** The work of the pass that runs now, where the moment lies in it: it is recorded as a pass only once it is over. */
export function runningWork(
  view: Pick<SideView, 'pass' | 'work'> | null,
  { history }: Pick<TrendAt, 'history'>,
  atMs: number,
): Work | null {
  const offset = history.utcMinusRecordMs;
  if (view?.pass == null || offset === null) return null;
  return view.pass.startUs / 1000 + offset - AROUND_MS <= atMs ? view.work : null;
}

/** The pass of a moment; an open one reaches to now. Just before an arc its limits are the next pass's. */
export function passAt(passes: readonly PassMessage[], atMs: number): PassMessage | null {
  const holds = ({ startUtc, endUtc, state }: PassMessage): boolean =>
    Date.parse(startUtc) - AROUND_MS <= atMs && (state === 'open' || atMs <= Date.parse(endUtc) + AROUND_MS);
  return passes.find(holds) ?? null;
}

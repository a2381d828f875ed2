import { useEffect, useState } from 'preact/hooks';
import type { EdgeRun } from '#core/messages/api-journal';
import { useApp } from '../../app-context.ts';
import { ApiError } from '../../data/api-client.ts';
import { isSameRun, type Run } from './run-clock.ts';

export type EdgeLook =
  | { readonly kind: 'idle' | 'looking' | 'none' | 'failed' }
  | { readonly kind: 'other' | 'seen'; readonly run: EdgeRun };

/** When to look after a run: its record takes a moment to come through, ms. */
const LOOKS_AFTER_MS = [500, 2000, 4000, 8000];

/** The newest run without an arc that the edge saw on a channel, looked for after a run was timed here. */
export function useEdgeRun(
  address: { readonly site: string; readonly rig: string; readonly channel: string },
  run: Run,
): { readonly look: EdgeLook; readonly again: () => void } {
  const { api } = useApp();
  const { site, rig, channel } = address;
  const [look, setLook] = useState<EdgeLook>({ kind: 'idle' });
  const [asked, setAsked] = useState(0);

  // `asked` counts the touches of "look again".
  useEffect(() => {
    if (run.kind === 'running' || (run.kind === 'idle' && asked === 0)) {
      setLook({ kind: 'idle' });
      return;
    }
    let alive = true;
    let timer: ReturnType<typeof setTimeout> | undefined;
    setLook({ kind: 'looking' });
    const lookOnce = async (): Promise<EdgeLook> => {
      try {
        const found = await api.get<EdgeRun | null>(['edge-run', site, rig], { channel });
        if (found === null) return { kind: 'none' };
        return { kind: isSameRun(found, run, Date.now()) ? 'seen' : 'other', run: found };
      } catch (error) {
        return { kind: error instanceof ApiError && error.problem?.status === 404 ? 'none' : 'failed' };
      }
    };
    const waits = asked > 0 ? [0] : LOOKS_AFTER_MS;
    const next = (turn: number, spentMs: number): void => {
      const wait = waits[turn];
      if (wait === undefined) return;
      timer = setTimeout(() => {
        void lookOnce().then(found => {
          if (!alive) return;
          if (found.kind === 'seen' || turn === waits.length - 1) setLook(found);
          else next(turn + 1, wait);
        });
      }, wait - spentMs);
    };
    next(0, 0);
    return () => {
      alive = false;
      clearTimeout(timer);
    };
  }, [api, site, rig, channel, run, asked]);

  return { look, again: () => setAsked(n => n + 1) };
}

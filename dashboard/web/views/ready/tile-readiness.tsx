import { useApp } from '../../app-context.ts';
import { readinessAt } from '../../data/readiness-store.ts';
import { text } from '../../text/text.ts';
import { verifyUrl } from '../verify/verify-route.ts';
import { firstThing } from './ready-rigs.ts';

/** On a tile: that its rig is not ready, and by what first. Nothing while it is ready or not known. */
export function TileReadiness({ site, rig }: { readonly site: string; readonly rig: string }) {
  const { readiness, rigs } = useApp();
  const t = text.value;
  const said = readiness.of(site, rig);
  if (said === null) return null;
  const now = readinessAt(said, rigs.nowMs.value);
  if (now.ready) return null;
  return (
    <a class="tile-ready" href={verifyUrl({ site, rig, check: null })}>
      <strong>{t.verify.notReady}</strong> <span>{firstThing(t, now)}</span>
    </a>
  );
}

import { useApp } from '../../app-context.ts';
import { routeUrl } from '../../routes.ts';
import { text } from '../../text/text.ts';

interface ReplayLinkProps {
  readonly sessionId: string;
  readonly rig: string;
  readonly at: string;
  /** For a screen reader: what is seen there. */
  readonly what: string;
}

/** The stored trends of the rig from 10 s before a moment. */
export function ReplayLink({ sessionId, rig, at, what }: ReplayLinkProps) {
  const { rigs } = useApp();
  const t = text.value.training.debrief;
  const site = rigs.entries.value.find(entry => entry.rig.rig === rig)?.rig.site;
  if (site === undefined) return null;
  const url = routeUrl({ view: 'trends', site, rig, spanS: 120, atMs: Date.parse(at), debrief: sessionId });
  return (
    <a class="button replay" href={url}>
      {t.see}
      <span class="sr-only">{t.seeOf(what)}</span>
    </a>
  );
}

/** What happened at one rig, entered in two taps. `corrects`: the entry to be put right. */
export interface RigEventRoute {
  readonly view: 'rigEvent';
  readonly site: string;
  readonly rig: string;
  readonly corrects: string | null;
}

/** `rigs/{site}/{rig}/event[?corrects=]`, already decoded; null for any other path. */
export function parseRigEventRoute(
  parts: readonly (string | undefined)[],
  query: URLSearchParams,
): RigEventRoute | null {
  const [top, site, rig, view] = parts;
  if (top !== 'rigs' || site === undefined || rig === undefined || view !== 'event') return null;
  return { view: 'rigEvent', site, rig, corrects: query.get('corrects') };
}

export function rigEventUrl(site: string, rig: string, corrects: string | null = null): string {
  const base = `#/rigs/${encodeURIComponent(site)}/${encodeURIComponent(rig)}/event`;
  return corrects === null ? base : `${base}?${new URLSearchParams({ corrects })}`;
}

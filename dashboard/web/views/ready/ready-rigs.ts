import type { Finding, RigReadiness } from '#core/messages/api-journal';
import { firstMissing, readinessAt } from '../../data/readiness-store.ts';
import type { SideView } from '../../data/side-view.ts';
import type { Texts } from '../../text/en.ts';
import { said } from '../../text/said.ts';

export interface ReadyRig {
  readonly key: string;
  readonly site: string;
  readonly rig: string;
  /** Null where the server has said nothing of it. */
  readonly now: RigReadiness | null;
}

/** Every rig known to either, in the fixed places of the live view; those without a place follow by name. */
export function readyRigs(
  views: readonly SideView[],
  said: ReadonlyMap<string, RigReadiness>,
  nowMs: number,
): ReadyRig[] {
  const placed = views.map(({ key, site, rig }) => ({ key, site, rig }));
  const others = [...said.entries()]
    .filter(([key]) => !placed.some(one => one.key === key))
    .map(([key, { site, rig }]) => ({ key, site, rig }))
    .sort((a, b) => a.key.localeCompare(b.key));
  return [...placed, ...others].map(one => {
    const found = said.get(one.key);
    return { ...one, now: found === undefined ? null : readinessAt(found, nowMs) };
  });
}

/** A path of the page as its address; anything else is no link. */
export const pageLink = (link: string | null): string | null => (link?.startsWith('/') ? `#${link}` : null);

/** What to say first of a rig that is not ready: the server's first finding, or the check that ran out since. */
export function firstThing(t: Texts, now: RigReadiness): string {
  const check = firstMissing(now);
  if (check !== null && check.state !== 'valid')
    return t.verify.tileMissing[check.state](t.verify.names[check.check]);
  return said(now.findings[0]?.text ?? '');
}

/** The server's findings, and one for each check whose time ran out since it spoke. */
export function findingsNow(t: Texts, said: RigReadiness, now: RigReadiness): Finding[] {
  const ranOut = now.checks.filter((check, i) => check.state !== said.checks[i]?.state);
  return [
    ...now.findings,
    ...ranOut.map(({ check }) => ({
      code: 'checkExpired',
      text: `${t.verify.names[check]}: ${t.verify.states.expired}.`,
      action: t.verify.open(t.verify.names[check]),
      link: `/rigs/${encodeURIComponent(now.site)}/${encodeURIComponent(now.rig)}/verify/${check}`,
    })),
  ];
}

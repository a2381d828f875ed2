import type { Route } from 'playwright-core';
import type { Entry } from '#core/journal/entry';

/** GET of a joint's dispositions by what was entered; their signatures are taken to hold. */
export function fulfilDispositions(route: Route, entries: readonly Entry[]): Promise<void> {
  if (route.request().method() !== 'GET') return route.fallback();
  const joint = decodeURIComponent(new URL(route.request().url()).pathname.split('/').at(-2) ?? '');
  const own = entries.filter(({ body }) => body.kind === 'disposition' && body.joint === joint);
  const dispositions = own.map(entry => ({ entry, state: 'holds', signed: null }));
  return route.fulfill({ json: { joint, dispositions } });
}

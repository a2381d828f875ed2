import { type Signal, signal } from '@preact/signals';
import {
  type AccountRoute,
  accountUrl,
  isAccountRoute,
  parseAccountRoute,
} from './views/accounts/account-route.ts';
import { type AlarmsRoute, alarmsUrl, parseAlarmsRoute } from './views/alarms/alarms-route.ts';
import {
  type ChangesRoute,
  changesUrl,
  isChangesRoute,
  parseChangesRoute,
} from './views/changes/changes-route.ts';
import { type JointRoute, jointRouteUrl, parseJointRoute } from './views/joints/joint-routes.ts';
import {
  isProceduresRoute,
  type ProceduresRoute,
  parseProceduresRoute,
  proceduresUrl,
} from './views/procedures/procedures-route.ts';
import { parseReviewRoute, type ReviewRoute, reviewUrl } from './views/review/review-route.ts';
import { parseRigEventRoute, type RigEventRoute, rigEventUrl } from './views/rig-events/event-route.ts';
import { parseShiftRoute, type ShiftRoute, shiftUrl } from './views/shift/shift-route.ts';
import { parseSumsRoute, type SumsRoute, sumsUrl } from './views/sums/sums-route.ts';
import {
  isTrainingRoute,
  parseTrainingRoute,
  type TrainingRoute,
  trainingUrl,
} from './views/training/training-route.ts';
import { parseVerifyRoute, type VerifyRoute, verifyUrl } from './views/verify/verify-route.ts';

/** Every state of the page is a URL; the part after # never reaches the server. */
export type Route =
  | { readonly view: 'live' }
  | {
      readonly view: 'trends';
      readonly site: string;
      readonly rig: string;
      readonly spanS: number;
      /** A moment of the past to look at instead, ms UTC. */
      readonly atMs?: number;
      /** Looked at from the debrief of this training session: from 10 s before the moment. */
      readonly debrief?: string;
    }
  | AlarmsRoute
  | { readonly view: 'assign'; readonly site: string; readonly rig: string }
  | VerifyRoute
  | JointRoute
  | RigEventRoute
  | { readonly view: 'ready' }
  | SumsRoute
  | ProceduresRoute
  | ChangesRoute
  | ReviewRoute
  | TrainingRoute
  | ShiftRoute
  | AccountRoute
  | { readonly view: 'about' }
  | { readonly view: 'settings' };

export const TREND_SPANS_S = [60, 120, 300] as const;

const decode = (part: string): string => {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
};

export function parseRoute(hash: string): Route {
  const [path = '', query = ''] = hash.replace(/^#\/?/, '').split('?');
  const parts = path.split('/').map(decode);
  const [view, site, rig] = parts;
  if (view === 'ready') return { view };
  const found =
    parseAccountRoute(parts) ??
    parseAlarmsRoute(parts) ??
    parseVerifyRoute(parts) ??
    parseSumsRoute(parts) ??
    parseTrainingRoute(parts) ??
    parseProceduresRoute(parts);
  if (found !== null) return found;
  const asked = new URLSearchParams(query);
  const apart =
    parseChangesRoute(parts, asked) ?? parseReviewRoute(parts, asked) ?? parseShiftRoute(parts, asked);
  if (apart !== null) return apart;
  if (view === 'rigs' && parts[3] === 'assign' && site !== undefined && rig !== undefined)
    return { view: 'assign', site, rig };
  const entered = parseJointRoute(parts, asked) ?? parseRigEventRoute(parts, asked);
  if (entered !== null) return entered;
  if (view === 'about' || view === 'settings') return { view };
  if (site === undefined || rig === undefined) return { view: 'live' };
  if (view === 'assign') return { view, site, rig };
  if (view !== 'trends') return { view: 'live' };
  const span = Number(asked.get('span'));
  const spanS = TREND_SPANS_S.find(one => one === span) ?? 120;
  const atMs = Date.parse(asked.get('at') ?? '');
  if (!Number.isFinite(atMs)) return { view, site, rig, spanS };
  const debrief = asked.get('debrief');
  return { view, site, rig, spanS, atMs, ...(debrief === null ? {} : { debrief }) };
}

export function routeUrl(route: Route): string {
  if (route.view === 'live') return '#/';
  if (route.view === 'about' || route.view === 'settings') return `#/${route.view}`;
  if (route.view === 'ready') return '#/ready';
  if (route.view === 'alarms') return alarmsUrl(route);
  if (isAccountRoute(route)) return accountUrl(route);
  if (isProceduresRoute(route)) return proceduresUrl(route);
  if (isChangesRoute(route)) return changesUrl(route);
  if (isTrainingRoute(route)) return trainingUrl(route);
  if (route.view === 'jointReview') return reviewUrl(route);
  if (route.view === 'shift') return shiftUrl(route);
  if (route.view === 'sums') return sumsUrl(route.name);
  if (route.view === 'verify') return verifyUrl(route);
  if (route.view === 'rigEvent') return rigEventUrl(route.site, route.rig, route.corrects);
  if (route.view !== 'trends' && route.view !== 'assign') return jointRouteUrl(route);
  const base = `#/${route.view}/${encodeURIComponent(route.site)}/${encodeURIComponent(route.rig)}`;
  if (route.view !== 'trends') return base;
  if (route.atMs === undefined) return `${base}?span=${route.spanS}`;
  const from = route.debrief === undefined ? '' : `&debrief=${encodeURIComponent(route.debrief)}`;
  return `${base}?at=${new Date(route.atMs).toISOString()}${from}`;
}

/** The route in the address bar, followed as it changes. */
export function followRoute(target: Window): Signal<Route> {
  const route = signal(parseRoute(target.location.hash));
  target.addEventListener('hashchange', () => {
    route.value = parseRoute(target.location.hash);
  });
  return route;
}

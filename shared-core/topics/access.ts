/**
 * Who may say and hear what over MQTT. The one table for every broker: the embedded one asks it, the files for another
 * one are written from it, and both are tested against it.
 *
 * An edge speaks and hears under its own site and rig only; a store (a dashboard) hears everything of ours and says
 * what dashboards say; screens have no part in MQTT. `anyone` is for a broker that only its own machine can reach.
 */
import { isTopicFilter } from './filters.ts';
import {
  DASHBOARD_TOPICS,
  type DashboardTopicKind,
  EDGE_TOPICS,
  isTopicId,
  parseTopic,
  TOPIC_ROOT,
  topicOf,
} from './topics.ts';

export type Principal =
  | { readonly kind: 'edge'; readonly site: string; readonly rig: string }
  | { readonly kind: 'store'; readonly store: string }
  | { readonly kind: 'anyone' };

export const ANYONE: Principal = { kind: 'anyone' };

/** Kinds of topics that carry an item behind them. */
export const ITEM_KINDS: readonly DashboardTopicKind[] = ['ack', 'procedure', 'time'];

/** What a store may say only in its own name: the item is the store. */
const OWN_ITEM_KINDS: readonly string[] = ['ack', 'time'];

/** The name a machine goes by at a broker: the common name of its certificate, or its user name. */
export function identityOf(principal: Principal): string {
  if (principal.kind === 'edge') return `${principal.site}/${principal.rig}`;
  return principal.kind === 'store' ? `store.${principal.store}` : '';
}

/** Null where it is no name of ours. */
export function principalOf(identity: string): Principal | null {
  const [site = '', rig, ...more] = identity.split('/');
  if (rig !== undefined) {
    return isTopicId(site) && isTopicId(rig) && more.length === 0 ? { kind: 'edge', site, rig } : null;
  }
  const [, store = ''] = /^store\.(.+)$/.exec(identity) ?? [];
  return isTopicId(store) ? { kind: 'store', store } : null;
}

/** May it connect by this client id? One that another uses would take its place. */
export function mayBeCalled(principal: Principal, clientId: string): boolean {
  if (principal.kind === 'edge') {
    return clientId === edgeClientId(principal) || clientId === doctorClientId(principal);
  }
  return principal.kind === 'anyone' || clientId.startsWith(`girthlog-${principal.store}-`);
}

/** Site and rig stay apart: with a hyphen between them two rigs could share one. */
export function edgeClientId({ site, rig }: { readonly site: string; readonly rig: string }): string {
  return `girthlog/${site}/${rig}`;
}

/** Beside the running edge, which keeps its place. */
export function doctorClientId(rig: { readonly site: string; readonly rig: string }): string {
  return `${edgeClientId(rig)}/doctor`;
}

export function mayPublish(principal: Principal, topic: string): boolean {
  const parsed = parseTopic(topic);
  if (!parsed) return false;
  if (principal.kind === 'anyone') return true;
  const isEdges = Object.hasOwn(EDGE_TOPICS, parsed.kind);
  if (principal.kind === 'edge') {
    return isEdges && parsed.site === principal.site && parsed.rig === principal.rig;
  }
  return !isEdges && (!OWN_ITEM_KINDS.includes(parsed.kind) || parsed.item === principal.store);
}

/** Does a message on `topic` reach it, whatever it has subscribed to? */
export function mayReceive(principal: Principal, topic: string): boolean {
  const parsed = parseTopic(topic);
  if (!parsed) return false;
  if (principal.kind !== 'edge') return true;
  return (
    Object.hasOwn(DASHBOARD_TOPICS, parsed.kind) &&
    parsed.site === principal.site &&
    parsed.rig === principal.rig
  );
}

/** A filter that could match nothing it may receive is refused when it is asked for. */
export function maySubscribe(principal: Principal, filter: string): boolean {
  if (!isTopicFilter(filter) || filter.startsWith('$')) return false;
  if (principal.kind === 'anyone') return true;
  if (principal.kind === 'store') return filter.startsWith(`${TOPIC_ROOT}/`);
  return (Object.keys(DASHBOARD_TOPICS) as DashboardTopicKind[]).some(kind => {
    const base = topicOf(principal, kind);
    const rest = filter.slice(base.length);
    if (!filter.startsWith(base)) return false;
    return ITEM_KINDS.includes(kind) ? /^\/[^/]+$/.test(rest) : rest === '';
  });
}

/** Which rigs one ingest worker takes: all, those of some sites, or single ones. Several workers share a fleet by it. */
import { type RigAddress, TOPIC_ROOT } from '#core/topics/topics';

export interface Share {
  readonly sites: readonly string[];
  readonly rigs: readonly RigAddress[];
}

/** What a worker has to hear of an edge: its records, how far it believes they are kept, and its questions for the time. */
const KINDS = ['record', 'health', 'clock'] as const;

/**
 * MQTT 3.1.1 filters: a wildcard stands for a whole level only, so a list becomes several subscriptions. They never
 * overlap: a message that fits two would come twice.
 */
export function subscriptionsOf(share: Share): string[] {
  const rigs = share.rigs.filter(({ site }) => !share.sites.includes(site));
  const addresses = [
    ...new Set([...share.sites.map(site => `${site}/+`), ...rigs.map(({ site, rig }) => `${site}/${rig}`)]),
  ];
  if (addresses.length === 0) addresses.push('+/+');
  return addresses.flatMap(address => KINDS.map(kind => `${TOPIC_ROOT}/${address}/${kind}`));
}

export function isInShare({ sites, rigs }: Share, { site, rig }: RigAddress): boolean {
  if (sites.length === 0 && rigs.length === 0) return true;
  return sites.includes(site) || rigs.some(one => one.site === site && one.rig === rig);
}

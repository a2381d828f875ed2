/**
 * Everything Mosquitto (2.0 or newer) needs to let in what the embedded broker lets in: the same table of who may say and
 * hear what, by the identity in each machine's certificate, and the list of what was revoked.
 */
import { resolve } from 'node:path';
import { ITEM_KINDS, identityOf } from '#core/topics/access';
import { DASHBOARD_TOPICS, type DashboardTopicKind, EDGE_TOPICS, TOPIC_ROOT } from '#core/topics/topics';
import type { ListenAddress } from '../settings.ts';

export interface MosquittoWish {
  /** Where the files will lie. */
  readonly directory: string;
  readonly listen: ListenAddress;
  readonly maxConnections: number;
  readonly maxPacketBytes: number;
  /** Names of the stores that connect to it. */
  readonly stores: readonly string[];
  /** PEM. */
  readonly server: { readonly certificate: string; readonly key: string };
  readonly machineAuthority: string;
  readonly revoked: string;
}

export interface WrittenFile {
  readonly name: string;
  readonly text: string;
  readonly mode: number;
}

export function mosquittoFiles(wish: MosquittoWish): WrittenFile[] {
  const { server, machineAuthority, revoked, stores } = wish;
  return [
    { name: 'mosquitto.conf', text: configuration(wish), mode: 0o644 },
    { name: 'acl', text: accessList(stores), mode: 0o600 },
    { name: 'machine-authority.pem', text: machineAuthority, mode: 0o644 },
    { name: 'revoked.pem', text: revoked, mode: 0o644 },
    { name: 'server.pem', text: server.certificate, mode: 0o644 },
    { name: 'server.key', text: server.key, mode: 0o600 },
  ];
}

function configuration({ directory, listen, maxConnections, maxPacketBytes }: MosquittoWish): string {
  const at = (name: string): string => resolve(directory, name);
  return `# Written by girthlog-dashboard broker-config. Write it again after a machine was revoked or enrolled anew, then restart.
listener ${listen.port} ${listen.host}
max_connections ${maxConnections}

# TLS, and nobody without a certificate of this truck's authority that is not revoked.
tls_version tlsv1.2
cafile ${at('machine-authority.pem')}
crlfile ${at('revoked.pem')}
certfile ${at('server.pem')}
keyfile ${at('server.key')}
require_certificate true

# A machine goes by the name in its certificate, also as client id: none can take another's place.
use_identity_as_username true
use_username_as_clientid true
allow_anonymous false
acl_file ${at('acl')}

# Nothing here is the record: the edges keep it until the truck's store has it.
persistence false
autosave_interval 0
max_packet_size ${maxPacketBytes}
max_inflight_messages 200
max_queued_messages 1000
max_keepalive 120
sys_interval 0
`;
}

const path = (kind: string, rig: string): string => `${TOPIC_ROOT}/${rig}/${kind}`;
const hasItem = (kind: string): boolean => ITEM_KINDS.includes(kind as DashboardTopicKind);

function accessList(stores: readonly string[]): string {
  const ofEdges = [
    ...Object.keys(EDGE_TOPICS).map(kind => `pattern write ${path(kind, '%u')}`),
    ...Object.keys(DASHBOARD_TOPICS).map(
      kind => `pattern read ${path(kind, '%u')}${hasItem(kind) ? '/+' : ''}`,
    ),
  ];
  const ofStores = stores.map(store => {
    const lines = Object.keys(DASHBOARD_TOPICS).map(kind => {
      const item = kind === 'ack' || kind === 'time' ? `/${store}` : hasItem(kind) ? '/+' : '';
      return `topic write ${path(kind, '+/+')}${item}`;
    });
    return [`user ${identityOf({ kind: 'store', store })}`, `topic read ${TOPIC_ROOT}/#`, ...lines].join(
      '\n',
    );
  });
  return `# An edge: %u is SITE/RIG, from its certificate.\n${ofEdges.join('\n')}\n\n${ofStores.join('\n\n')}\n`;
}

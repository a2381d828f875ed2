/** What the dashboard and its broker child tell each other over the process channel. */

/** Longer packets end their connection before they are read. */
export const MAX_PACKET_BYTES = 65_536;

/** How a machine shows who it is. */
export type Credential =
  /** A client certificate of our authority, by its serial number (hex, capitals). */
  | { readonly kind: 'certificate'; readonly identity: string; readonly serial: string }
  /** User name and secret; SHA-256 of the secret, hex. The secret is random and long, so no slow hash is needed. */
  | { readonly kind: 'secret'; readonly identity: string; readonly hash: string };

export interface BrokerAccess {
  /** Whoever shows no credentials may connect and speak for any rig: on this machine only. */
  readonly isOpen: boolean;
  readonly credentials: readonly Credential[];
}

export interface BrokerTls {
  /** PEM; the certificate with those that lead to its authority. */
  readonly key: string;
  readonly certificate: string;
  /** Whose client certificates are looked at, PEM. */
  readonly machineAuthority: string;
}

export interface BrokerStart {
  readonly kind: 'start';
  readonly host: string;
  readonly port: number;
  /** Further ports to try when the first is taken. */
  readonly tries: number;
  readonly maxConnections: number;
  readonly maxRigs: number;
  readonly access: BrokerAccess;
  /** With it the listener speaks TLS, and a second one on loopback (port 0: any) serves the dashboard itself. */
  readonly tls: BrokerTls | null;
  readonly innerPort: number;
}

export type BrokerOrder =
  | BrokerStart
  | { readonly kind: 'access'; readonly access: BrokerAccess }
  | { readonly kind: 'tls'; readonly tls: BrokerTls };

export type BrokerReport =
  /** Where the dashboard itself connects: `innerPort`, the same as `port` without TLS. */
  | { readonly kind: 'listening'; readonly port: number; readonly innerPort: number }
  | { readonly kind: 'failed'; readonly code: string; readonly message: string }
  /** Something was refused, with a cause in one word. */
  | { readonly kind: 'refused'; readonly cause: string; readonly detail: string; readonly count: number }
  /** A known machine tried what is not its own. */
  | ({ readonly kind: 'trespass'; readonly count: number } & Trespass);

export interface Trespass {
  readonly identity: string;
  readonly what: 'publish' | 'lastWill' | 'subscribe' | 'clientId';
  /** The topic, filter or client id. */
  readonly name: string;
}

/** What the dashboard and its broker child tell each other over the process channel. */
export interface BrokerStart {
  readonly kind: 'start';
  readonly host: string;
  readonly port: number;
  /** Further ports to try when the first is taken. */
  readonly tries: number;
  readonly maxConnections: number;
  readonly maxRigs: number;
}

export type BrokerReport =
  | { readonly kind: 'listening'; readonly port: number }
  | { readonly kind: 'failed'; readonly code: string; readonly message: string }
  /** Something was refused, with a cause in one word. */
  | { readonly kind: 'refused'; readonly cause: string; readonly detail: string };

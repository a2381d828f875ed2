/** Where a device's bytes go. `write` never waits: what a port cannot take is lost, as on a real line, and counted. */
export interface ByteOutput {
  /** The URL a reader opens; known after `start`. */
  readonly url: string;
  readonly lostBytes: number;
  start(): Promise<void>;
  write(bytes: Uint8Array): void;
  stop(): Promise<void>;
}

/** The output cannot be used; `message` is one sentence naming what and where. */
export class OutputError extends Error {}

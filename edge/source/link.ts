import type { LinkProblem } from './link-problem.ts';

export interface LinkEvents {
  readonly onOpen: () => void;
  readonly onBytes: (bytes: Uint8Array) => void;
  /** Could not be opened, or is no longer usable. Called once at most for one opening. */
  readonly onDown: (problem: LinkProblem) => void;
}

/** One way to reach a device. open() is called again only after close() has settled. */
export interface Link {
  /** What a person calls it. */
  readonly name: string;
  open(events: LinkEvents): void;
  /** Never rejects; also after a failure or twice. */
  close(): Promise<void>;
  /** There is a device node: present() says something. */
  readonly hasNode: boolean;
  /** Whether the node exists; while open, whether it is still the one that was opened. */
  present(): boolean;
  /** Reads no more until release(): what comes waits in the operating system. Absent where a link cannot. */
  hold?(): void;
  release?(): void;
}

/** Puts on record what stores claim wrongly and what they have lost. */
import type { ShellEvent } from '../capture/stamper.ts';
import type { AckVerdict } from '../outbox/outbox-types.ts';
import { RefusalLimiter } from './refusal-limiter.ts';

export interface Rewind {
  readonly store: string;
  /** The newest batch it names, and the one it named before. */
  readonly upto: number;
  readonly before: number;
  /** Batches after `upto` that have lost samples here. */
  readonly reduced: number;
}

export class AckTeller {
  private readonly tell: (event: ShellEvent) => void;
  private readonly limiter: RefusalLimiter;

  constructor(tell: (event: ShellEvent) => void, monotonicMs: () => number) {
    this.tell = tell;
    this.limiter = new RefusalLimiter(monotonicMs);
  }

  refused(store: string, verdict: AckVerdict): void {
    if (!this.limiter.shouldRecord(verdict)) return;
    const text = `an acknowledgement of store "${store}" was refused (${verdict}); nothing was released`;
    this.tell({ type: 'storage', text, data: { store, verdict } });
  }

  rewound({ store, upto, before, reduced }: Rewind): void {
    const lost =
      reduced === 0
        ? 'all of it is still here'
        : `${reduced} of these batches are not whole here any more: their samples gave way`;
    const text = `store "${store}" has lost batches ${upto + 1} to ${before}: they are sent again; ${lost}`;
    this.tell({ type: 'storage', text, data: { store, upto, before, reduced } });
  }
}

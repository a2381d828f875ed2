/** Does the dashboard do what it is for? Asked by the supervisor's watchdog; a loop that merely turns is not enough. */

export interface ProgressSources {
  /** Throws when the store cannot be read. */
  readonly checkStore: () => void;
  readonly waitingRecords: () => number;
  /** Records that came out of the waiting line, stored or not, since start. */
  readonly settledRecords: () => number;
  /** The store takes nothing for a reason that starting again would not mend, and says so. */
  readonly paused: () => boolean;
}

export class Progress {
  private readonly sources: ProgressSources;
  private settled = 0;

  constructor(sources: ProgressSources) {
    this.sources = sources;
  }

  /** True when the store can be read and what waits for it has moved since this was asked last. */
  getsOn(): boolean {
    const { checkStore, waitingRecords, settledRecords, paused } = this.sources;
    checkStore();
    const settled = settledRecords();
    const moved = settled !== this.settled;
    this.settled = settled;
    return moved || waitingRecords() === 0 || paused();
  }
}

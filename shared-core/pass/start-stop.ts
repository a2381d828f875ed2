import type { Slice } from '../arc/slice.ts';

/** The times of a pass's start and stop sequence: gas, arc, travel, and out again. µs of record time. */
export class StartStop {
  private readonly startUs: number;
  private readonly gasOnSinceUs: number | null;
  private firstMovingUs: number | null = null;
  private lastMovingUs: number | null = null;
  private travelKnown = false;
  private stopUs: number | null = null;
  private gasOffUs: number | null = null;

  constructor(startUs: number, gasOnSinceUs: number | null) {
    this.startUs = startUs;
    this.gasOnSinceUs = gasOnSinceUs;
  }

  burn(slice: Slice): void {
    if (slice.motion !== 'unknown') this.travelKnown = true;
    if (slice.motion !== 'moving') return;
    this.firstMovingUs ??= slice.fromUs;
    this.lastMovingUs = slice.toUs;
  }

  stop(us: number): void {
    this.stopUs = us;
  }

  restart(): void {
    this.stopUs = null;
    this.gasOffUs = null;
  }

  gasOff(us: number): void {
    if (this.stopUs !== null) this.gasOffUs ??= us;
  }

  /** Lengths in s; null where the channel is missing or the moment has not come. */
  sequence(gasKnown: boolean): {
    gasBeforeArcS: number | null;
    arcBeforeTravelS: number | null;
    arcAfterTravelS: number | null;
    gasAfterArcS: number | null;
  } {
    const { startUs, stopUs, gasOnSinceUs, gasOffUs, firstMovingUs, lastMovingUs } = this;
    const seconds = (fromUs: number | null, toUs: number | null): number | null =>
      fromUs === null || toUs === null ? null : Math.max(0, toUs - fromUs) / 1e6;
    return {
      // A gas channel that reads no flow when the arc starts is a fact: 0 s of gas before the arc.
      gasBeforeArcS: gasKnown ? (seconds(gasOnSinceUs, startUs) ?? 0) : null,
      arcBeforeTravelS: this.travelKnown ? seconds(startUs, firstMovingUs) : null,
      arcAfterTravelS: this.travelKnown ? seconds(lastMovingUs, stopUs) : null,
      gasAfterArcS: gasKnown ? seconds(stopUs, gasOffUs) : null,
    };
  }
}

/**
 * A pass while it grows: sums, stops, windows and excursions of its arcs. Positions are mm along the side
 * at the weld from where the side started.
 */
import type { Slice } from '../arc/slice.ts';
import { CompensatedSums, SUM } from '../arc/sums.ts';
import type { DriftWatch } from '../drift/drift-watch.ts';
import type { OutOfRangeSpan } from './out-of-range-watch.ts';
import { PassMatch } from './pass-match.ts';
import { StartStop } from './start-stop.ts';
import { WeldWindows } from './weld-windows.ts';
import type { Work } from './work.ts';

/** Nothing is known between these times. */
interface Stretch {
  readonly fromUs: number;
  readonly toUs: number;
}

/** No arc between these times; where the arc had stopped, null where travel is unknown. */
interface ArcPause extends Stretch {
  readonly positionMm: number | null;
}

export class OpenPass {
  readonly index: number;
  /** Replaced when the procedure of the same work arrives late. */
  work: Work;
  readonly continues: number | null;
  readonly startUs: number;
  /** Reported travel at which the side's position is 0, see PassMachine. */
  readonly originMm: number;
  /** End of the last arc; while one burns, the newest time it is known to burn. */
  endUs: number;
  burning = true;
  /** Current at or above the stop threshold, inside an arc. */
  readonly arc = new CompensatedSums();
  /** Drop-outs that the arc survived. */
  readonly dropOut = new CompensatedSums();
  /** The part of `arc` in which the carriage stood. */
  readonly standing = new CompensatedSums();
  readonly windows: WeldWindows;
  readonly stops: ArcPause[] = [];
  readonly spans: OutOfRangeSpan[] = [];
  readonly startStop: StartStop;
  /** Whether what is welded is the assigned pass. */
  readonly match = new PassMatch();
  /** What changes along it; replaced when the procedure of the same work arrives late. */
  drift: DriftWatch;
  readonly startMm: number;
  endMm: number;
  positionUncertaintyMm = 0;
  restarts = 0;
  /** Where along the side the arc went out and came back. */
  readonly extinctionsMm: number[] = [];
  private readonly stretches: Stretch[] = [];

  constructor(input: {
    index: number;
    work: Work;
    continues: number | null;
    startUs: number;
    startMm: number;
    originMm: number;
    windowLengthMm: number;
    gasOnSinceUs: number | null;
    drift: DriftWatch;
  }) {
    this.index = input.index;
    this.work = input.work;
    this.continues = input.continues;
    this.startUs = input.startUs;
    this.endUs = input.startUs;
    this.startMm = input.startMm;
    this.endMm = input.startMm;
    this.originMm = input.originMm;
    this.windows = new WeldWindows(input.windowLengthMm);
    this.startStop = new StartStop(input.startUs, input.gasOnSinceUs);
    this.drift = input.drift;
  }

  get extinctions(): number {
    return this.extinctionsMm.length;
  }

  /** A slice of arc that ended at `alongMm`. */
  burn(slice: Slice, alongMm: number): void {
    this.arc.add(slice.sums);
    this.startStop.burn(slice);
    const weldMm = slice.sums[SUM.travelMm]! * this.work.geometry.travelRatio;
    this.match.burn(slice, weldMm, alongMm);
    if (slice.motion === 'standing') this.standing.add(slice.sums);
    else if (slice.motion === 'moving') {
      this.windows.add(slice, weldMm, alongMm);
      this.drift.burn(slice, weldMm, alongMm);
    }
    this.endUs = slice.toUs;
    this.endMm = alongMm;
  }

  /** A slice of a drop-out that the arc has survived. */
  bridge(slice: Slice, alongMm: number): void {
    this.dropOut.add(slice.sums);
    this.windows.addDropOut(slice.sums, slice.sums[SUM.travelMm]! * this.work.geometry.travelRatio, alongMm);
    this.drift.disturb();
    this.endUs = slice.toUs;
    this.endMm = alongMm;
  }

  stop(endUs: number, endMm: number): void {
    this.burning = false;
    this.endUs = endUs;
    this.endMm = endMm;
    this.windows.stop();
    this.startStop.stop(endUs);
    this.match.stop();
    this.drift.stop();
  }

  /** The arc burns again, after a stop that began at `endUs`. */
  restart(startUs: number, startMm: number, travelKnown: boolean): void {
    this.stops.push({ fromUs: this.endUs, toUs: startUs, positionMm: travelKnown ? this.endMm : null });
    this.restarts++;
    this.burning = true;
    this.endUs = startUs;
    this.endMm = startMm;
    this.startStop.restart();
    this.match.restart();
    this.drift.restart(startUs);
  }

  addUnobserved(fromUs: number, toUs: number): void {
    this.windows.disturb();
    this.drift.disturb();
    const last = this.stretches.at(-1);
    if (last && last.toUs === fromUs)
      this.stretches[this.stretches.length - 1] = { fromUs: last.fromUs, toUs };
    else this.stretches.push({ fromUs, toUs });
  }

  /** All that is unknown between start and end, also between arcs, s. */
  get unobservedS(): number {
    let us = 0;
    for (const { fromUs, toUs } of this.stretches) {
      us += Math.max(0, Math.min(toUs, this.endUs) - Math.max(fromUs, this.startUs));
    }
    return us / 1e6;
  }
}

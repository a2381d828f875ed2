/**
 * The order of a device's frames: frame counter (16 bits in text, 8 in binary) and 32-bit microsecond time,
 * both wrapping.
 *
 * Within one connection frames follow within seconds (the link is reopened otherwise), so a step of the time
 * is read as the signed difference: it may wrap (every 71.6 min), and a device that began again is seen as
 * both numbers falling back together.
 */
import type { FrameCounters } from './frame-counters.ts';

/** Further back than this is no late frame: the device began again. */
const SMALL_STEP_BACK_US = 1_000_000;
/** Counter and time smaller than before, and "forward" only if the time wrapped after a long silence. */
const LONG_SILENCE_US = 60_000_000;
/** So many frames in a row that follow each other but lie before the newest: the device began again. */
const BACKWARD_RUN = 3;

export class FrameSequence {
  /** True when the last accepted frame was the first of a new run of the device. */
  restarted = false;
  private readonly counters: FrameCounters;
  private readonly mask: number;
  private started = false;
  private counter = 0;
  private rawUs = 0;
  private startUs = 0;
  private spanUs = 0;
  private slackUs = 0;
  private backCounter = 0;
  private backRawUs = 0;
  private backRun = 0;

  /** `counterBits`: 8 or 16. */
  constructor(counters: FrameCounters, counterBits: 8 | 16) {
    this.counters = counters;
    this.mask = 2 ** counterBits - 1;
  }

  /** Forget what came before: a new connection or a new run of the device. */
  reset(): void {
    this.started = false;
    this.backRun = 0;
  }

  /**
   * A frame of `count` intervals of `lengthUs` from `rawUs` (unsigned 32 bit).
   * Returns its unwrapped start, µs, or −1 where the frame is to be dropped (and has been counted).
   */
  accept(counter: number, rawUs: number, lengthUs: number, count: number): number {
    this.restarted = false;
    if (!this.started) return this.begin(counter, rawUs, lengthUs, count);
    const frames = (counter - this.counter) & this.mask;
    const stepUs = (rawUs - this.rawUs) | 0;
    if (stepUs === 0 && frames === 0) {
      this.counters.duplicateFrames++;
      return -1;
    }
    const bothSmaller = rawUs < this.rawUs && counter < this.counter;
    if (bothSmaller && (stepUs < -SMALL_STEP_BACK_US || stepUs > LONG_SILENCE_US)) {
      return this.restart(counter, rawUs, lengthUs, count);
    }
    if (stepUs <= 0 || stepUs < this.spanUs - this.slackUs) {
      return this.backward(counter, rawUs, lengthUs, count);
    }
    if (frames !== 1) this.countLost(frames, stepUs);
    this.backRun = 0;
    return this.remember(counter, rawUs, this.startUs + stepUs, lengthUs, count);
  }

  /**
   * The counter says how many are missing but for whole turns of it; the turns are those that agree best with
   * the time gone by.
   */
  private countLost(frames: number, stepUs: number): void {
    const expected = stepUs / this.spanUs;
    const turns = Math.max(0, Math.round((expected - frames) / (this.mask + 1)));
    const missing = frames + turns * (this.mask + 1) - 1;
    // Far more than there was time for: the counter was set back, not that much was lost.
    if (missing > 0 && missing <= 2 * expected + 2) this.counters.lostFrames += missing;
  }

  private begin(counter: number, rawUs: number, lengthUs: number, count: number): number {
    this.started = true;
    this.backRun = 0;
    return this.remember(counter, rawUs, rawUs, lengthUs, count);
  }

  private restart(counter: number, rawUs: number, lengthUs: number, count: number): number {
    this.counters.restarts++;
    this.restarted = true;
    return this.begin(counter, rawUs, lengthUs, count);
  }

  private backward(counter: number, rawUs: number, lengthUs: number, count: number): number {
    const follows =
      this.backRun > 0 && counter === ((this.backCounter + 1) & this.mask) && rawUs > this.backRawUs;
    this.backRun = follows ? this.backRun + 1 : 1;
    this.backCounter = counter;
    this.backRawUs = rawUs;
    if (this.backRun >= BACKWARD_RUN) return this.restart(counter, rawUs, lengthUs, count);
    this.counters.outOfOrder++;
    return -1;
  }

  private remember(counter: number, rawUs: number, startUs: number, lengthUs: number, count: number): number {
    this.counter = counter;
    this.rawUs = rawUs;
    this.startUs = startUs;
    this.spanUs = lengthUs * count;
    // Intervals are allowed to touch with some jitter, not to be counted twice.
    this.slackUs = lengthUs / 2;
    return startUs;
  }
}

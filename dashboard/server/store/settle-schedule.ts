/** Settling by the clock: a step at a time with a pause after it, so that records and live values never wait long. */
import type { ReportEvent } from '../internal-events.ts';
import type { Settling } from './settling.ts';
import { codeOf } from './store-errors.ts';

export interface SettleScheduleOptions {
  readonly settling: Pick<Settling, 'step'>;
  readonly report: ReportEvent;
  readonly nowMs: () => number;
}

const LOOK_MS = 30_000;
/** A store from before it settled anything has years to do: then it takes about a tenth of the time. */
const PAUSE_MS = 250;
const RETRY_MS = 60_000;

export class SettleSchedule {
  private readonly options: SettleScheduleOptions;
  private timer: NodeJS.Timeout | null = null;

  constructor(options: SettleScheduleOptions) {
    this.options = options;
  }

  start(): void {
    this.wait(LOOK_MS);
  }

  stop(): void {
    if (this.timer) clearTimeout(this.timer);
    this.timer = null;
  }

  private wait(ms: number): void {
    this.timer = setTimeout(() => this.look(), ms);
    this.timer.unref();
  }

  private look(): void {
    const { settling, report, nowMs } = this.options;
    try {
      this.wait(settling.step(nowMs()) ? PAUSE_MS : LOOK_MS);
    } catch (error) {
      // Nothing is lost: the records are as they were. What the store is short of, the intake finds and says.
      report('settlingFailed', { code: codeOf(error), reason: (error as Error).message });
      this.wait(RETRY_MS);
    }
  }
}

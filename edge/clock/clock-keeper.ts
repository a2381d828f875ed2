/**
 * The clock map: how record time reads on the wall clock, as rows in the durable record. One at the start, one a
 * minute, one at every step of more than 100 ms and whenever a time service takes the clock or lets it go. What was
 * recorded before the clock was set is dated anew through it; arc times never need it.
 */
import type { ClockMapRow } from '#core/messages/clock-map';
import type { ShellEvent } from '../capture/stamper.ts';
import type { InternalEvents } from '../internal-events.ts';
import type { OffsetMeter } from './offset-meter.ts';
import { type RecordClock, UNKNOWN_AWAY_US } from './record-clock.ts';

const EVERY_US = 60_000_000;

export interface ClockKeeperOptions {
  readonly clock: RecordClock;
  readonly meter: Pick<OffsetMeter, 'tick'>;
  readonly events: InternalEvents;
  readonly add: (row: ClockMapRow) => void;
  readonly tell: (event: ShellEvent) => void;
}

export class ClockKeeper {
  private readonly options: ClockKeeperOptions;
  private last: ClockMapRow | null = null;

  constructor(options: ClockKeeperOptions) {
    this.options = options;
  }

  /** About once a second; the first call is the start. */
  tick(): void {
    const { clock, meter, events, tell } = this.options;
    meter.tick();
    const step = clock.check();
    if (step) {
      events.emit('clockStep', { byMs: step.byMs });
      const text = `the wall clock was stepped by ${(step.byMs / 1000).toFixed(3)} s; arc times are not affected`;
      tell({ type: 'clockStep', text, data: { byMs: step.byMs } });
    }
    if (!this.last && !clock.awayKnown) {
      const seconds = UNKNOWN_AWAY_US / 1e6;
      const text = `how long the edge was off is not known: the clock was behind what is stored; ${seconds} s stand for it in the record`;
      tell({ type: 'clockStep', text, data: { awayKnown: false } });
    }
    const cause = this.cause(step !== null);
    if (!cause) return;
    this.last = {
      cause,
      recordUs: clock.nowUs(),
      utcMinusRecordMs: clock.utcMinusRecordMs(),
      ...clock.reading(),
    };
    this.options.add(this.last);
  }

  private cause(stepped: boolean): ClockMapRow['cause'] | null {
    const { last } = this;
    const { clock } = this.options;
    if (!last) return 'start';
    if (stepped) return 'step';
    if (clock.state() !== last.state) return 'state';
    return clock.nowUs() - last.recordUs >= EVERY_US ? 'minute' : null;
  }
}

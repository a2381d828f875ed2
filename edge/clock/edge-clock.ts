/** Record time with its wall clock map, and the meter that says how far that map is from a store's clock. */
import { OffsetMeter, type OffsetMeterOptions } from './offset-meter.ts';
import { createRecordClock, type RecordClock, type StoredTimes, type TimeSources } from './record-clock.ts';

export interface EdgeClock {
  readonly clock: RecordClock;
  readonly meter: OffsetMeter;
}

export function createEdgeClock(
  sources: Omit<TimeSources, 'storeMinusRecordMs'>,
  stored: StoredTimes,
  options: Omit<OffsetMeterOptions, 'recordNowMs'>,
): EdgeClock {
  const meter: OffsetMeter = new OffsetMeter({ ...options, recordNowMs: () => clock.nowUs() / 1000 });
  const clock = createRecordClock(
    { ...sources, storeMinusRecordMs: () => meter.best()?.storeMinusRecordMs ?? null },
    stored,
  );
  return { clock, meter };
}

/** What looks after the edge itself while it records: room in the store, the clock map, the black box. */
import type { BlackBox } from './black-box/black-box.ts';
import { createBlackBox } from './black-box/create-black-box.ts';
import type { Capture } from './capture/capture.ts';
import type { Recorder } from './capture/recorder.ts';
import { ClockKeeper } from './clock/clock-keeper.ts';
import type { OffsetMeter } from './clock/offset-meter.ts';
import type { RecordClock } from './clock/record-clock.ts';
import type { EdgeConfig } from './config/edge-config.ts';
import type { InternalEvents } from './internal-events.ts';
import type { Outbox } from './outbox/outbox-client.ts';
import { StorageWatch } from './outbox/storage-watch.ts';

export interface KeeperParts {
  readonly config: EdgeConfig;
  readonly stream: string;
  readonly outbox: Outbox;
  readonly clock: RecordClock;
  readonly meter: OffsetMeter;
  readonly recorder: Recorder;
  readonly capture: Capture;
  readonly events: InternalEvents;
  readonly onFailed: (error: unknown) => void;
}

export interface Keepers {
  readonly storage: StorageWatch;
  readonly keeper: ClockKeeper;
  /** Null where it is off. */
  readonly blackBox: BlackBox | null;
}

export function createKeepers(parts: KeeperParts): Keepers {
  const { config, stream, outbox, clock, meter, recorder, capture, events, onFailed } = parts;
  const tell = (text: string, data: Record<string, string | number | null>): void =>
    capture.tell({ type: 'storage', text, data });
  const storage = new StorageWatch({ outbox, events, tell, onFailed });
  const keeper = new ClockKeeper({
    clock,
    meter,
    events,
    add: row => recorder.addClockRow(row),
    tell: event => capture.tell(event),
  });
  return { storage, keeper, blackBox: createBlackBox({ config, stream, clock, storage, events, tell }) };
}

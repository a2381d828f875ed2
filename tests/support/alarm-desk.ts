/** The alarm desk on a real store, with a clock of its own. */
import { onTestFinished } from 'vitest';
import type { Alarms } from '#core/messages/alarms';
import { type Alarm, type AlarmPicture, alarmPictureSchema } from '#core/messages/api-alarm';
import { AlarmDesk } from '../../dashboard/server/alarms/alarm-desk.ts';
import { edgeConditions, edgePrefix } from '../../dashboard/server/alarms/edge-conditions.ts';
import type { SqliteStore } from '../../dashboard/server/store/sqlite-store.ts';
import { recordedEvents } from './recorded-events.ts';
import { START_MS } from './test-records.ts';
import { openStore } from './test-store.ts';

type Condition = Alarms['conditions'][number];

export const RIG_A = { site: 'spread-1', rig: 'rig-a' };

/** A condition as an edge says it; of fill 1 on side A of joint J-1 unless said otherwise. */
export function condition(parts: Partial<Condition> = {}): Condition {
  return {
    key: 'A:fill 1:outOfRange',
    cause: 'outOfRange',
    quantity: 'travelSpeed',
    quantities: ['travelSpeed'],
    work: { joint: 'J-1', side: 'A', pass: 'fill 1' },
    passIndex: 3,
    place: { alongMm: 300, clock: 9 },
    priority: 'medium',
    sinceUs: 1e9,
    sinceUtc: new Date(START_MS).toISOString(),
    text: 'Travel speed (limits 5 to 8 mm/s): out of range (joint J-1, side A, fill 1).',
    action: 'Check the setting against the welding procedure.',
    ...parts,
  };
}

export const NO_DATA = condition({
  key: 'A:fill 1:noDataWithArc',
  cause: 'noDataWithArc',
  quantity: null,
  quantities: [],
  priority: 'high',
});

export interface DeskBench {
  readonly desk: AlarmDesk;
  readonly store: SqliteStore;
  readonly pictures: AlarmPicture[];
  readonly counts: Record<string, number>;
  ms: number;
  readonly edge: (conditions: readonly Condition[], address?: typeof RIG_A) => void;
  readonly alarms: () => Alarm[];
  readonly only: () => Alarm;
  /** What the log says, oldest first. */
  readonly said: () => string[];
}

export function deskBench(directory: string, ms = START_MS): DeskBench {
  const store = openStore(directory);
  onTestFinished(() => store.close());
  const { report, counts } = recordedEvents();
  const pictures: AlarmPicture[] = [];
  const bench: DeskBench = {
    ms,
    store,
    counts,
    pictures,
    desk: new AlarmDesk({
      table: store.alarms,
      now: () => new Date(bench.ms),
      report,
      isHeard: () => true,
      onChange: picture => pictures.push(alarmPictureSchema.parse(picture)),
    }),
    edge: (conditions, address = RIG_A) => {
      const at = new Date(bench.ms).toISOString();
      bench.desk.takeAll(
        identity => identity.startsWith(edgePrefix(address)),
        edgeConditions(address, { origin: 'simulated', at, conditions: [...conditions] }),
      );
    },
    alarms: () => bench.desk.picture().alarms,
    only: () => {
      const all = bench.alarms();
      if (all.length !== 1) throw new Error(`${all.length} alarms, not one`);
      return all[0]!;
    },
    said: () =>
      store.alarms
        .history({ limit: 200 })
        .items.map(({ what, by }) => (by === null ? what : `${what} by ${by}`))
        .reverse(),
  };
  bench.desk.start();
  return bench;
}

/** A dashboard that takes its records from a fleet's database instead of from edges. */
import type { RecordIntake } from '../ingest/record-intake.ts';
import type { ReportEvent } from '../internal-events.ts';
import type { RigBoard } from '../live/rig-board.ts';
import type { DashboardStore } from '../store/store.ts';
import { PostgresClient } from './postgres-client.ts';
import { PostgresRecordStore } from './postgres-record-store.ts';
import { RecordFollower } from './record-follower.ts';

/** Goes on until the returned function is called; a database that is away is waited for. */
export async function follow(options: {
  url: string;
  store: DashboardStore;
  intake: RecordIntake;
  board: RigBoard;
  report: ReportEvent;
}): Promise<() => Promise<void>> {
  const { url, store, intake, board, report } = options;
  const database = new PostgresClient(url);
  await database.connect();
  const follower = new RecordFollower({
    from: new PostgresRecordStore(database),
    to: store,
    take: async (address, records) => {
      // What waits since the last time has to be kept first.
      if (intake.waitingCount > 0) return intake.idle();
      for (const record of records) {
        if (board.admit(address, record.origin, false)) intake.offer(address, record);
      }
      await intake.idle();
    },
    onTaken: count => report('recordsFollowed', {}, count),
    onFailed: (error, retryMs) => report('followFailed', { reason: error.message, retryMs }),
  });
  follower.start();
  return async () => {
    await follower.stop();
    await database.close();
  };
}

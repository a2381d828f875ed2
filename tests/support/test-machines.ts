import Sqlite from 'better-sqlite3';
import type { ReportEvent } from '../../dashboard/server/internal-events.ts';
import { EnrolmentDesk } from '../../dashboard/server/machines/enrolment-desk.ts';
import { MachineTable } from '../../dashboard/server/machines/machine-table.ts';
import type { TruckMachines } from '../../dashboard/server/machines/truck-machines.ts';

/** Machines of a test's dashboard, without a broker: boards are enrolled by secret. */
export function testMachines(
  directory: string,
  { now, report, monotonicMs }: { now: () => Date; report: ReportEvent; monotonicMs: () => number },
): TruckMachines & { close: () => void } {
  const table = new MachineTable(Sqlite, directory);
  return {
    desk: new EnrolmentDesk({ table: () => table, now, report, store: 'truck', onChange: () => {} }),
    terms: async () => ({ broker: { scheme: 'mqtt', port: 1883 }, tls: null }),
    fingerprint: async () => null,
    monotonicMs,
    close: () => table.close(),
  };
}

/** What every store of the dashboard must do; each implementation runs this suite. */
import { describeClockMap } from './store-clock-map.ts';
import { describeEntries } from './store-entries.ts';
import { describeJournal } from './store-journal.ts';
import { describePasses } from './store-passes.ts';
import { describeRecords } from './store-records.ts';
import { describeReduced } from './store-reduced.ts';
import { describeSamples } from './store-samples.ts';
import type { OpenedStore } from './store-support.ts';

export function describeStore(name: string, open: () => OpenedStore): void {
  describeRecords(name, open);
  describeSamples(name, open);
  describeReduced(name, open);
  describeClockMap(name, open);
  describePasses(name, open);
  describeEntries(name, open);
  describeJournal(name, open);
}

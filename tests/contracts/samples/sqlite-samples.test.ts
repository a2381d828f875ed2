import { StoredSamples } from '../../../dashboard/server/store/stored-samples.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { START_MS } from '../../support/test-records.ts';
import { openStore } from '../../support/test-store.ts';
import { describeSampleStore } from './sample-store-contract.ts';

for (const settles of [false, true]) {
  describeSampleStore(settles ? 'SQLite, settled' : 'SQLite', () => {
    const store = openStore(tempDir());
    return Promise.resolve({
      samples: new StoredSamples(store),
      put: (records, receivedMs = START_MS) => {
        store.commitRecords(records, new Date(receivedMs).toISOString());
        while (settles && store.settling.step(START_MS + 86_400_000));
        return Promise.resolve();
      },
      readFrom: 'store',
    });
  });
}

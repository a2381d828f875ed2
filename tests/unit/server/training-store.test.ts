import { readdirSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { describe, expect, it, onTestFinished } from 'vitest';
import { openTraining } from '../../../dashboard/server/training/open-training.ts';
import { TRAINING_FILE, TrainingStore } from '../../../dashboard/server/training/training-store.ts';
import { recordedEvents } from '../../support/recorded-events.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { startTestDashboard } from '../../support/test-dashboard.ts';
import { seal, testBody } from '../../support/test-records.ts';
import { testSession } from '../../support/training-debrief.ts';
import { utcAt } from '../../support/training-session.ts';

function opened(directory: string) {
  const { report, counts } = recordedEvents();
  const store = new TrainingStore({ directory, sqlite: Sqlite, report, now: () => new Date(utcAt(0)) });
  store.open();
  onTestFinished(() => store.close());
  return { store, counts };
}

describe('the store of training sessions', () => {
  it('has a session again after it was opened anew, readable by its owner only', () => {
    const directory = tempDir();
    const { store } = opened(directory);
    const [one, two] = [testSession(), testSession({ id: 'two', createdAt: utcAt(60), state: 'running' })];
    store.save(one);
    store.save(two);
    store.save({ ...one, selfRating: 5 });
    store.close();
    const again = opened(directory).store;
    expect(again.sessions()).toEqual([two, { ...one, selfRating: 5 }]);
    expect(again.current()).toEqual(two);
    expect(again.session('two')).toEqual(two);
    again.remove('two');
    expect(again.session('two')).toBeNull();
    expect(again.current()).toBeNull();
    expect(statSync(join(directory, TRAINING_FILE)).mode & 0o777).toBe(0o600);
  });

  it('is moved aside when damaged, and a new one begun', () => {
    const directory = tempDir();
    writeFileSync(
      join(directory, TRAINING_FILE),
      'no database at all, but long enough to be read as one'.repeat(20),
    );
    const { store, counts } = opened(directory);
    expect(counts).toEqual({ trainingStoreQuarantined: 1 });
    expect(store.sessions()).toEqual([]);
    expect(readdirSync(directory).some(name => name.startsWith(`${TRAINING_FILE}.damaged-`))).toBe(true);
  });

  it('of a newer version is refused, and left as it is', () => {
    const directory = tempDir();
    opened(directory).store.close();
    const db = new Sqlite(join(directory, TRAINING_FILE));
    db.pragma('user_version = 99');
    db.close();
    expect(() => opened(directory)).toThrow(/written by a newer Girthlog/);
  });
});

it('training does not begin where real welds lie', async () => {
  const { receive, settle, store, data } = await startTestDashboard();
  const body = JSON.stringify(testBody({ origin: 'real' }));
  receive('girthlog/1/spread-1/rig-a/record', seal(body, 1, undefined, undefined, 'real'));
  await settle();
  const { report } = recordedEvents();
  const nothing = {} as Parameters<typeof openTraining>[0];
  const options = { ...nothing, settings: { data }, sqlite: Sqlite, store, report, now: () => new Date() };
  expect(() => openTraining(options)).toThrow(/holds real welds: give training a directory of its own/);
  expect(readdirSync(data)).not.toContain(TRAINING_FILE);
});

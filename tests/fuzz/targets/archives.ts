/** Files of many parts: backups and black boxes. */
import { existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { gunzipSync, gzipSync } from 'node:zlib';
import Sqlite from 'better-sqlite3';
import { restoreBackup } from '../../../dashboard/server/backup/restore-backup.ts';
import { writeBackup } from '../../../dashboard/server/backup/write-backup.ts';
import { SqliteStore } from '../../../dashboard/server/store/sqlite-store.ts';
import { encodeFrame, encodeHeader } from '../../../edge/black-box/black-box-format.ts';
import { readFrames } from '../../../edge/black-box/black-box-reader.ts';
import { STREAM, testChain } from '../../support/test-records.ts';
import type { Dice } from '../dice.ts';
import { mutateBytes } from '../mutate.ts';
import { tried } from '../refusal.ts';
import type { FuzzTarget } from '../target.ts';

const backups: FuzzTarget = {
  name: 'backups, restored',
  cases: 'files',
  wholeRun: 3000,
  open: async scratch => {
    const data = join(scratch, 'data');
    const store = new SqliteStore({
      directory: data,
      sqlite: Sqlite,
      report: () => {},
      now: () => new Date(),
    });
    store.open();
    const records = testChain(5).map(message => ({
      ...{ site: 'spread-1', rig: 'rig-a', message, body: null, samples: null, unreadable: null },
    }));
    store.commitRecords(records, new Date().toISOString());
    store.close();
    const file = join(scratch, 'good.tar.gz');
    const now = () => new Date();
    await writeBackup({
      data,
      file,
      withKeys: false,
      sqlite: Sqlite,
      software: 'x',
      now,
      onProgress: () => {},
    });
    const good = readFileSync(file);
    const bad = join(scratch, 'bad.tar.gz');
    const into = join(scratch, 'into');
    const restore = (from: string): Promise<unknown> =>
      restoreBackup({ file: from, into, sqlite: Sqlite, onProgress: () => {} });
    const neighbours = (): string => readdirSync(scratch).sort().join();
    const before = neighbours();
    return {
      tryOne: async dice => {
        writeFileSync(bad, spoiltBackup(dice, good));
        const outcome = await tried(() => restore(bad));
        if (outcome !== 'taken' && existsSync(into))
          throw new Error('a refused backup left something behind');
        rmSync(into, { recursive: true, force: true });
        rmSync(bad);
        if (neighbours() !== before) throw new Error(`files outside the folder: ${neighbours()}`);
        return outcome;
      },
      stillWorks: async () => {
        await restore(file);
        const back = new SqliteStore({ directory: into, sqlite: Sqlite, report: () => {}, now });
        back.open();
        const states = back.streamStates();
        back.close();
        if (states[0]?.stream !== STREAM || states[0].upto !== 5)
          throw new Error('a good backup is not whole');
      },
      close: () => {},
    };
  },
};

/** Outside the compression most changes only spoil its checksum; inside, names and lengths are met. */
function spoiltBackup(dice: Dice, good: Uint8Array): Uint8Array {
  const limit = good.length + 4096;
  if (dice.chance(0.1)) return good;
  if (dice.chance(0.3)) return mutateBytes(dice, good, limit);
  const tar = gunzipSync(good);
  // Names, sizes and the manifest stand in the first blocks; the database behind them is mostly pages.
  const head = dice.chance(0.7) ? 4096 : tar.length;
  return gzipSync(Buffer.concat([mutateBytes(dice, tar.subarray(0, head), head + 4096), tar.subarray(head)]));
}

const blackBoxes: FuzzTarget = {
  name: 'black boxes',
  cases: 'files',
  wholeRun: 10_000,
  open: async scratch => {
    const header = {
      stream: STREAM,
      origin: 'simulated',
      source: 'tcp',
      startedUs: 0,
      utcMinusRecordMs: 0,
    } as const;
    const content = new TextEncoder().encode('!D,1,2,3*00\n');
    const frames = Array.from({ length: 8 }, (_, i) =>
      encodeFrame({ kind: 1, arrivalUs: i * 1000, content }),
    );
    const good = Buffer.concat([encodeHeader(header), ...frames]);
    const file = join(scratch, 'x.blackbox');
    const count = async (bytes: Uint8Array): Promise<number> => {
      writeFileSync(file, bytes);
      let n = 0;
      for await (const frame of readFrames(file)) {
        if (frame.content.length > 1_048_576) throw new Error('a frame longer than any');
        n++;
      }
      return n;
    };
    return {
      tryOne: async dice => {
        const n = await count(mutateBytes(dice, good, 100_000));
        return n === 0 ? 'nothing read' : n < frames.length ? 'read in part' : 'read whole';
      },
      stillWorks: async () => {
        if ((await count(good)) !== frames.length) throw new Error('a good black box is not read whole');
      },
      close: () => {},
    };
  },
};

export const archiveTargets: readonly FuzzTarget[] = [backups, blackBoxes];

/** `carry`: a truck's records into a fleet's database, for those that its edges do not hold any more (docs/fleet.md). */
import { type Command, Option } from 'commander';
import type { RecordMessage } from '#core/messages/record';
import { EXIT, ProgramError } from '#core/program/program-error';
import type { RigAddress } from '#core/topics/topics';
import { loadConfig } from '../load-config.ts';
import { withoutSecret } from '../without-secret.ts';

interface CarryFlags {
  readonly data?: string;
  readonly config?: string;
  readonly records?: string;
}

export function addCarryCommand(program: Command): void {
  program
    .command('carry')
    .description(
      "take this truck's records over into a fleet's PostgreSQL; may run beside the dashboard, and again",
    )
    .option('--data <directory>', 'directory of the store (girthlog-data/dashboard)')
    .option('--config <file>', 'TOML file that names the directory')
    .addOption(
      new Option('--records <url>', 'postgres://USER@HOST:PORT/DATABASE').env('GIRTHLOG_INGEST_RECORDS'),
    )
    .action(carry);
}

async function carry({ data, config, records: url }: CarryFlags): Promise<void> {
  if (url === undefined) {
    throw new ProgramError('--records is needed, or GIRTHLOG_INGEST_RECORDS in the environment.', EXIT.usage);
  }
  const { settings } = await loadConfig({ data }, config);
  const { default: sqlite } = await import('better-sqlite3');
  const { SqliteStore } = await import('../store/sqlite-store.ts');
  const { SqliteRecordStore } = await import('../store/sqlite-record-store.ts');
  const { PostgresClient } = await import('../fleet/postgres-client.ts');
  const { PostgresRecordStore } = await import('../fleet/postgres-record-store.ts');
  const { RecordFollower } = await import('../fleet/record-follower.ts');
  const { verifyRecord } = await import('../ingest/verify-record.ts');
  const store = new SqliteStore({
    directory: settings.data,
    sqlite,
    report: () => {},
    now: () => new Date(),
    readOnly: true,
  });
  store.open();
  const database = new PostgresClient(url);
  const counts = { stored: 0, duplicate: 0, conflict: 0, refused: 0 };
  try {
    await database.open();
    const to = new PostgresRecordStore(database);
    await to.prepare();
    const take = async (address: RigAddress, messages: readonly RecordMessage[]): Promise<void> => {
      const batch = messages.flatMap(message => {
        const verified = verifyRecord(address, message);
        return verified.ok ? [verified.record] : [];
      });
      counts.refused += messages.length - batch.length;
      const { outcomes } = await to.commitRecords(batch, new Date().toISOString());
      for (const outcome of outcomes) counts[outcome]++;
    };
    await new RecordFollower({
      ...{ from: new SqliteRecordStore(store), to, take },
      onTaken: () => {},
      onFailed: () => {},
    }).catchUp();
  } catch (error) {
    if (error instanceof ProgramError) throw error;
    throw new ProgramError(
      `Carried ${counts.stored} records, then not on: ${(error as Error).message || (error as { code?: string }).code} ` +
        `(${withoutSecret(url)}). Once more goes on where it stopped.`,
      EXIT.network,
    );
  } finally {
    store.close();
    await database.close();
  }
  const { stored, duplicate, conflict, refused } = counts;
  process.stdout.write(
    `${stored} records carried, ${duplicate} were there, ${conflict} with another content under a kept number, ` +
      `${refused} whose hash does not hold.\n`,
  );
  process.exitCode = conflict + refused === 0 ? EXIT.ok : EXIT.integrity;
}

/** `prune --before DATE`: old samples give way. Says what would go; `--yes` lets it go. */
import { existsSync } from 'node:fs';
import { join, resolve } from 'node:path';
import type { Command } from 'commander';
import { EXIT, ProgramError } from '#core/program/program-error';
import { progressLine } from '../backup/progress-line.ts';
import { loadConfig } from '../load-config.ts';
import type { PruneStream, PruneWish } from '../store/pruning.ts';
import { withoutSecret } from '../without-secret.ts';

interface PruneFlags {
  readonly before: string;
  readonly keep: string;
  readonly backup?: string;
  readonly inInflux?: boolean;
  readonly withoutBackup?: boolean;
  readonly unsealed?: boolean;
  readonly yes?: boolean;
  readonly data?: string;
  readonly config?: string;
  readonly json?: boolean;
}

interface Outcome {
  readonly before: string;
  readonly keep: PruneWish['keep'];
  readonly done: boolean;
  readonly streams: readonly PruneStream[];
  readonly records: number;
  readonly bytes: number;
}

export function addPruneCommand(program: Command): void {
  program
    .command('prune')
    .description(
      'let old samples go; events, passes, seals and journal stay. Without --yes it only says what would go',
    )
    .requiredOption('--before <date>', 'samples older than this, such as 2026-01-31 (UTC)')
    .option('--keep <what>', 'seconds: mean, least and greatest of each second stay; none', 'seconds')
    .option('--backup <file>', 'a backup that holds them; it is read and checked first')
    .option(
      '--in-influx',
      'InfluxDB holds them, where samples are read there: every one is read and compared first',
    )
    .option('--without-backup', 'although no backup holds them')
    .option('--unsealed', 'also what no checked seal covers')
    .option('--yes', 'let them go: nothing brings them back but a backup')
    .option('--data <directory>', 'directory of the store (girthlog-data/dashboard)')
    .option('--config <file>', 'TOML file that names the directory')
    .option('--json', 'as JSON')
    .action(prune);
}

async function prune(flags: PruneFlags): Promise<void> {
  const wish = wishOf(flags);
  const { settings } = await loadConfig({ data: flags.data }, flags.config);
  const file = join(settings.data, 'dashboard.sqlite3');
  if (!existsSync(file)) {
    throw new ProgramError(
      `There is no store in ${settings.data}: name its directory with --data.`,
      EXIT.nothingFound,
    );
  }
  const { openForPruning } = await import('../store/open-for-pruning.ts');
  const { db, sql, pruning } = await openForPruning(file);
  const progress = progressLine(process.stderr, () => performance.now());
  try {
    const streams = pruning.plan(wish);
    const giving = streams.filter(({ records }) => records > 0);
    const planned = { before: new Date(wish.beforeMs).toISOString(), keep: wish.keep, streams };
    if (!flags.yes || giving.length === 0) {
      say({ ...planned, done: false, ...totals(giving) }, flags);
      return;
    }
    if (flags.backup !== undefined) {
      const { requireCovered } = await import('../backup/backup-covers.ts');
      await requireCovered(flags.backup, giving, sql, part => progress.show('Checking the backup', part));
    } else if (flags.inInflux) {
      const { requireInInflux } = await import('../projection/influx-covers.ts');
      await requireInInflux({
        ...{ settings, sql, pruning, wish, streams: giving },
        onProgress: part => progress.show('Reading InfluxDB', part),
      });
    } else if (!flags.withoutBackup) {
      throw new ProgramError(
        'Name a backup that holds these samples with --backup FILE, or say --in-influx or --without-backup.',
        EXIT.usage,
      );
    }
    const backup =
      flags.backup !== undefined
        ? resolve(flags.backup)
        : flags.inInflux && settings.influx !== null
          ? withoutSecret(settings.influx)
          : null;
    const note = { at: new Date().toISOString(), backup };
    let records = 0;
    let bytes = 0;
    const total = totals(giving).records;
    for (const stream of giving) {
      let last = { records: 0, bytes: 0 };
      for (last of pruning.prune(stream, wish, note))
        progress.show('Letting samples go', (records + last.records) / total);
      records += last.records;
      bytes += last.bytes;
    }
    say({ ...planned, done: true, records, bytes }, flags);
  } finally {
    progress.end();
    db.close();
  }
}

function wishOf({ before, keep, unsealed }: PruneFlags): PruneWish {
  const beforeMs = /^\d{4}-\d\d-\d\d(T[\d:.]+Z)?$/.test(before) ? Date.parse(before) : Number.NaN;
  if (Number.isNaN(beforeMs)) {
    throw new ProgramError(
      `--before ${before} is no date such as 2026-01-31 or 2026-01-31T06:00:00Z.`,
      EXIT.usage,
    );
  }
  if (beforeMs > Date.now()) throw new ProgramError(`--before ${before} is still to come.`, EXIT.usage);
  if (keep !== 'seconds' && keep !== 'none') {
    throw new ProgramError(`--keep ${keep} is neither seconds nor none.`, EXIT.usage);
  }
  return { beforeMs, keep, unsealed: unsealed ?? false };
}

function totals(streams: readonly PruneStream[]): { records: number; bytes: number } {
  return {
    records: streams.reduce((sum, one) => sum + one.records, 0),
    bytes: streams.reduce((sum, one) => sum + one.bytes, 0),
  };
}

function say(outcome: Outcome, { json, unsealed }: PruneFlags): void {
  if (json) {
    process.stdout.write(`${JSON.stringify(outcome)}\n`);
    return;
  }
  const { streams, done, records, bytes, before, keep } = outcome;
  const lines = streams.map(({ site, rig, stream, records: n, bytes: size, notSealed }) => {
    const kept = notSealed > 0 ? `; ${notSealed} more no checked seal covers: they stay` : '';
    return `${site}/${rig} (stream ${stream.slice(0, 8)}): ${n} records, ${mb(size)} MB${kept}`;
  });
  const what = keep === 'seconds' ? 'to values of a second' : 'altogether';
  lines.push(
    done
      ? `${records} records gave their samples ${what}: ${mb(bytes)} MB are free inside the store, which grows again only when they are used.`
      : records > 0
        ? `${records} records with samples before ${before} would give them ${what}, out of ${mb(bytes)} MB. Nothing was changed: --yes lets them go.`
        : `Nothing before ${before} can give its samples${unsealed ? '' : ' (--unsealed would take what no seal covers)'}.`,
  );
  process.stdout.write(`${lines.join('\n')}\n`);
}

function mb(bytes: number): string {
  return (bytes / 1e6).toFixed(1);
}

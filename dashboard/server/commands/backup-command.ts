/** `backup FILE` and `restore FILE --into FOLDER`: results on stdout, progress on stderr. */
import type { Command } from 'commander';
import type { BackupManifest } from '../backup/backup-manifest.ts';
import { progressLine } from '../backup/progress-line.ts';
import { loadConfig } from '../load-config.ts';
import { MACHINES_FILE } from '../machines/machine-table.ts';
import { softwareVersion } from '../software-version.ts';

interface BackupFlags {
  readonly data?: string;
  readonly config?: string;
  readonly withKeys?: boolean;
  readonly json?: boolean;
}

export function addBackupCommands(program: Command): void {
  program
    .command('backup <file>')
    .description('write everything the dashboard keeps to one file, while it runs or not')
    .option('--data <directory>', 'directory of the store (girthlog-data/dashboard)')
    .option('--config <file>', 'TOML file that names the directory')
    .option(
      '--with-keys',
      'private keys too: whoever holds the backup can then sign and answer as this truck',
    )
    .option('--json', 'print the manifest as JSON')
    .action(backup);
  program
    .command('restore <file>')
    .description('check a backup and put it into an empty folder')
    .requiredOption('--into <folder>', 'made if missing')
    .option('--json', 'print the manifest as JSON')
    .action(restore);
}

async function backup(file: string, flags: BackupFlags): Promise<void> {
  const { settings } = await loadConfig({ data: flags.data }, flags.config);
  const { default: sqlite } = await import('better-sqlite3');
  const { writeBackup } = await import('../backup/write-backup.ts');
  const progress = progressLine(process.stderr, () => performance.now());
  const { bytes, ...manifest } = await writeBackup({
    data: settings.data,
    file,
    withKeys: flags.withKeys ?? false,
    sqlite,
    software: softwareVersion(),
    now: () => new Date(),
    onProgress: (step, part) => progress.show(step === 'copying' ? 'Copying the store' : 'Packing', part),
  }).finally(progress.end);
  if (flags.json) {
    process.stdout.write(`${JSON.stringify({ file, bytes, ...manifest })}\n`);
    return;
  }
  const left = manifest.leftOut.length;
  process.stdout.write(
    `${file}: ${summary(manifest)}, ${(bytes / 1e6).toFixed(1)} MB, as of ${manifest.at}.\n` +
      (left > 0 ? `Left out: ${manifest.leftOut.join(', ')} (keys go in with --with-keys).\n` : ''),
  );
}

async function restore(file: string, { into, json }: { into: string; json?: boolean }): Promise<void> {
  const { default: sqlite } = await import('better-sqlite3');
  const { restoreBackup } = await import('../backup/restore-backup.ts');
  const progress = progressLine(process.stderr, () => performance.now());
  const manifest = await restoreBackup({
    file,
    into,
    sqlite,
    onProgress: part => progress.show('Restoring', part),
  }).finally(progress.end);
  if (json) {
    process.stdout.write(`${JSON.stringify(manifest)}\n`);
    return;
  }
  process.stdout.write(
    `${into}: ${summary(manifest)}, as of ${manifest.at}, every hash as it should be.\n` +
      `Start it with: girthlog-dashboard run --data ${into}\n` +
      'Edges send again what came after, as far as they still hold it.\n' +
      (manifest.members.some(({ name }) => name === MACHINES_FILE)
        ? `A board revoked since may connect again: see girthlog-dashboard machines --data ${into}\n`
        : ''),
  );
}

function summary({ counts, streams }: BackupManifest): string {
  const { records = 0, passes = 0, journal = 0 } = counts;
  return `${records} records of ${streams.length} streams, ${passes} passes, ${journal} journal entries`;
}

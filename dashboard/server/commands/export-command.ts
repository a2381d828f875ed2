/** `export`: joints as archives, from the store as it stands, while the dashboard runs or not. */
import { createHash } from 'node:crypto';
import { closeSync, createWriteStream, existsSync, mkdirSync, openSync, renameSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { text } from 'node:stream/consumers';
import { pipeline } from 'node:stream/promises';
import type { Command } from 'commander';
import { isZone, localDay } from '#core/csv/local-time';
import { paperMannerSchema, paperSchema } from '#core/messages/api-export';
import { type Origin, originSchema } from '#core/messages/common';
import { EXIT, ProgramError } from '#core/program/program-error';
import { progressLine } from '../backup/progress-line.ts';
import { syncFolder } from '../backup/sync-folder.ts';
import type { ExportRequest, OnProgress } from '../export/export-archive.ts';
import type { ExportContext } from '../export/export-context.ts';
import { loadConfig } from '../load-config.ts';
import { softwareVersion } from '../software-version.ts';

interface ExportFlags {
  readonly joint?: readonly string[];
  readonly day?: string;
  readonly into?: string;
  readonly zone: string;
  readonly language?: string;
  readonly units?: string;
  readonly decimal?: string;
  readonly paper: readonly string[];
  readonly origin?: string;
  readonly data?: string;
  readonly config?: string;
  readonly json?: boolean;
  /** For the dashboard: the request on stdin, the archive on stdout, progress on stderr. */
  readonly request?: boolean;
  readonly timeZone?: string;
}

export function addExportCommand(program: Command): void {
  program
    .command('export')
    .description('joints as archives: report, tables, data, signed record, samples, manifest')
    .option('--joint <number...>', 'these joints')
    .option('--day <date>', 'the joints welded on this local day, such as 2026-05-12')
    .option('--into <folder>', 'where the archive goes; made if missing')
    .option('--zone <zone>', 'IANA time zone of the day and of local times', 'UTC')
    .option('--paper <size...>', 'a4, letter or both', ['a4'])
    .option('--language <language>', 'of the reports: en or es', 'en')
    .option('--units <units>', 'of the reports: metric, or inch as US crews write', 'metric')
    .option('--decimal <sign>', 'of the reports: point or comma', 'point')
    .option('--origin <origin>', 'real, simulated or replay; real first where not said')
    .option('--time-zone <zone>', 'IANA time zone of the job (that of this machine)')
    .option('--data <directory>', 'directory of the store (girthlog-data/dashboard)')
    .option('--config <file>', 'TOML file that names the directory')
    .option('--json', 'what was written, as JSON')
    .addHelpText(
      'after',
      '\nExit codes: 0 done, 2 usage, 3 configuration, 4 nothing found, 8 store unreadable.',
    )
    .addOption(program.createOption('--request').hideHelp())
    .action(exportJoints);
}

async function exportJoints(flags: ExportFlags): Promise<void> {
  if (!flags.request) checkFlags(flags);
  const { settings } = await loadConfig({ data: flags.data, timeZone: flags.timeZone }, flags.config);
  const [{ default: sqlite }, { openOffline }, { exportArchive }] = await Promise.all([
    import('better-sqlite3'),
    import('../export/offline-context.ts'),
    import('../export/export-archive.ts'),
  ]);
  const { context, close } = openOffline({
    directory: settings.data,
    sqlite,
    software: softwareVersion(),
    now: () => new Date(),
    zone: settings.timeZone,
  });
  const elsewhere =
    settings.samples === 'influx'
      ? await (await import('../projection/open-influx.ts')).influxBeside(settings, context.store)
      : null;
  const { ArchiveError } = await import('../export/zip-stream.ts');
  const make = (request: ExportRequest, onProgress: OnProgress) =>
    Readable.from(exportArchive(context, request, onProgress, elsewhere));
  try {
    if (flags.request) await answerDashboard(make);
    else await writeArchive(await requestOf(flags, context), flags, make);
  } catch (error) {
    if (error instanceof ArchiveError) throw new ProgramError(error.message, EXIT.configuration);
    throw error;
  } finally {
    close();
  }
}

type Make = (request: ExportRequest, onProgress: OnProgress) => Readable;

async function answerDashboard(make: Make): Promise<void> {
  const { exportRequestSchema } = await import('../export/export-archive.ts');
  const request = exportRequestSchema.parse(JSON.parse(await text(process.stdin)));
  const archive = make(request, (done, total) => {
    process.stderr.write(`${JSON.stringify({ done, total })}\n`);
  });
  // Standard output is not ended: what was written has to leave the process first.
  await pipeline(archive, process.stdout, { end: false });
}

async function writeArchive(request: ExportRequest, flags: ExportFlags, make: Make): Promise<void> {
  const { safeName } = await import('../export/file-name.ts');
  const folder = flags.into!;
  const [only] = request.joints;
  const name =
    request.date !== null
      ? `joints-${request.date}`
      : request.joints.length === 1
        ? safeName(only!)
        : 'joints';
  const file = join(folder, `${name}.zip`);
  const part = `${file}.part-${process.pid}`;
  prepare(folder, file, part);
  const progress = progressLine(process.stderr, () => performance.now());
  const hash = createHash('sha256');
  let bytes = 0;
  try {
    const archive = make(request, (done, total) =>
      progress.show('Exporting', total === 0 ? 1 : done / total),
    );
    archive.on('data', (piece: Uint8Array) => {
      hash.update(piece);
      bytes += piece.length;
    });
    await pipeline(archive, createWriteStream(part, { flush: true }));
    renameSync(part, file);
    syncFolder(folder);
  } catch (error) {
    rmSync(part, { force: true });
    if ((error as NodeJS.ErrnoException).code !== 'ENOSPC') throw error;
    throw new ProgramError(`There is no room in ${folder}.`, EXIT.configuration);
  } finally {
    progress.end();
  }
  const { joints, origin } = request;
  process.stdout.write(
    flags.json
      ? `${JSON.stringify({ file, bytes, sha256: hash.digest('hex'), origin, joints })}\n`
      : `${file}: ${joints.length === 1 ? `joint ${only}` : `${joints.length} joints`} (${origin}), ${(bytes / 1e6).toFixed(1)} MB.\n`,
  );
}

function prepare(folder: string, file: string, part: string): void {
  try {
    mkdirSync(folder, { recursive: true });
    if (!existsSync(file)) {
      closeSync(openSync(part, 'wx', 0o600));
      return;
    }
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    throw new ProgramError(
      `Cannot write in ${folder} (${code}): choose another with --into.`,
      EXIT.configuration,
    );
  }
  throw new ProgramError(
    `${file} exists already and is not overwritten: move it, or choose another folder with --into.`,
    EXIT.configuration,
  );
}

function checkFlags({ joint, day, into, zone, paper, origin }: ExportFlags): void {
  const wrong =
    (joint === undefined) === (day === undefined)
      ? 'Say --joint NUMBER or --day DATE.'
      : into === undefined
        ? 'Say where the archive goes with --into FOLDER.'
        : !isZone(zone)
          ? `--zone ${zone}: use an IANA time zone such as Europe/Berlin, or UTC.`
          : day !== undefined && localDay(day, zone) === null
            ? `--day ${day}: use a date such as 2026-05-12.`
            : paper.some(size => !paperSchema.safeParse(size).success)
              ? `--paper ${paper.join(' ')}: there are a4 and letter.`
              : origin !== undefined && !originSchema.safeParse(origin).success
                ? `--origin ${origin}: there are real, simulated and replay.`
                : null;
  if (wrong !== null) throw new ProgramError(wrong, EXIT.usage);
}

async function requestOf(flags: ExportFlags, context: ExportContext): Promise<ExportRequest> {
  const { zone, day, joint = [] } = flags;
  const asked = flags.origin as Origin | undefined;
  const papers = paperSchema.array().parse([...new Set(flags.paper)]);
  const { language, units, decimal } = flags;
  const manner = paperMannerSchema.parse({ language, units, decimal });
  const { jointsOfDay, MIXED, originOfAll } = await import('../export/joints-of-day.ts');
  if (day !== undefined) {
    const { originShown } = await import('../api/joint-ring.ts');
    const origin = originShown(context.store.jointOrigins(), asked);
    const joints = jointsOfDay(context, origin, localDay(day, zone)!);
    if (joints.length > 0) return { joints, origin, date: day, zone, papers, manner };
    throw new ProgramError(`No pass of any joint began on ${day} (${zone}).`, EXIT.nothingFound);
  }
  const joints = [...new Set(joint)];
  const origins = joints.map(one => {
    const facts = context.facts.joint(one, asked);
    if (facts) return facts.origin;
    throw new ProgramError(`Nothing is entered or recorded of joint ${one}.`, EXIT.nothingFound);
  });
  const origin = originOfAll(origins);
  if (origin === null) throw new ProgramError(MIXED, EXIT.usage);
  return { joints, origin, date: null, zone, papers, manner };
}

/** Exports of the running dashboard: made by its own program beside it, kept beside its store. */
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { ReportEvent } from '../internal-events.ts';
import type { Settings } from '../settings.ts';
import { ExportDesk } from './export-desk.ts';
import { exportProcess, type RunExport } from './export-runner.ts';
import { RigInfoFile } from './rig-info-file.ts';

export interface OpenExportsOptions {
  readonly settings: Pick<
    Settings,
    'data' | 'timeZone' | 'influx' | 'samples' | 'exportKeepH' | 'exportMaxMb'
  >;
  /** The built girthlog-dashboard; beside the bundle unless said otherwise. */
  readonly program: URL | undefined;
  readonly report: ReportEvent;
  readonly now: () => Date;
  readonly newId: () => string;
}

export interface OpenExports {
  readonly desk: ExportDesk;
  readonly run: RunExport;
  /** What rigs say of themselves, for the program that makes exports. */
  readonly infos: RigInfoFile;
}

/** Half of what the truck calls too little room, and far more than an hour of records. */
const LEAVE_BYTES = 1_000_000_000;

export function openExports({ settings, program, report, now, newId }: OpenExportsOptions): OpenExports {
  const file = fileURLToPath(program ?? new URL('./girthlog-dashboard.js', import.meta.url));
  const run = exportProcess(file, settings);
  const desk = new ExportDesk({
    directory: join(settings.data, 'export-jobs'),
    run,
    keepH: settings.exportKeepH,
    mostBytes: settings.exportMaxMb * 1_000_000,
    leaveBytes: LEAVE_BYTES,
    report,
    now,
    newId,
  });
  return { desk, run, infos: new RigInfoFile(settings.data) };
}

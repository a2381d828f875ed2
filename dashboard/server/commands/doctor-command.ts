/** `doctor`: is everything as the dashboard needs it? Reads only, also beside a running dashboard. */
import { existsSync, statSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Command } from 'commander';
import { type Finding, finding, findingsExit, findingsText } from '#core/program/finding';
import { machineFindings, nodeFinding, serviceFindings } from '#core/program/machine-findings';
import { ProgramError } from '#core/program/program-error';
import { loadConfig } from '../load-config.ts';
import type { Settings } from '../settings.ts';
import { machineIo } from './doctor-io.ts';

interface DoctorFlags {
  readonly data?: string;
  readonly config?: string;
  readonly json?: boolean;
}

/** A store at rest needs room to grow by a day; less is a stop. */
const LEAST_FREE_SHARE = 0.02;
const UNIT = 'girthlog-dashboard.service';

export function addDoctorCommand(program: Command): void {
  program
    .command('doctor')
    .description(
      'say of everything the dashboard needs whether it is well, and what to do (exit 3 where one says stop)',
    )
    .option('--data <directory>', 'directory of the store (girthlog-data/dashboard)')
    .option('--config <file>', 'TOML file')
    .option('--json', 'as JSON')
    .action(doctor);
}

async function doctor(flags: DoctorFlags): Promise<void> {
  const findings = await findingsOf(flags);
  process.stdout.write(flags.json ? `${JSON.stringify(findings, null, 2)}\n` : findingsText(findings));
  process.exitCode = findingsExit(findings);
}

async function findingsOf(flags: DoctorFlags): Promise<Finding[]> {
  const node = nodeFinding(process.versions.node, process.execPath);
  const settings = await readSettings(flags);
  if (typeof settings === 'string') return [node, finding('configuration', 'stop', `${settings}: mend it`)];
  const [{ lookAtStore, runningDashboard }, { pageFindings, brokerFinding, backupFinding }] =
    await Promise.all([import('./doctor-store.ts'), import('./doctor-network.ts')]);
  const directory = resolve(settings.data);
  const runningPid = runningDashboard(directory);
  const store = lookAtStore(directory, runningPid);
  const machine = await machineFindings(machineIo, {
    folder: nearestFolder(directory),
    writtenIn: directory,
    floorMs: Math.max(store.newestUtcMs ?? 0, statSync(fileURLToPath(import.meta.url)).mtimeMs),
    leastFreeBytes: totalBytes => totalBytes * LEAST_FREE_SHARE,
  });
  const nowMs = machineIo.wallMs();
  return [
    node,
    finding(
      'configuration',
      'ok',
      `${flags.config ?? 'without a file'}, reads well: store "${settings.store}" in ${directory}`,
    ),
    ...machine,
    ...store.findings,
    ...(await pageFindings(settings, runningPid, nowMs)),
    await brokerFinding(settings, runningPid),
    backupFinding(settings, nowMs),
    ...(await serviceFindings(machineIo, UNIT)),
  ];
}

/** The sentence that says what is wrong, without a full stop, instead. */
async function readSettings({ data, config }: DoctorFlags): Promise<Settings | string> {
  try {
    return (await loadConfig({ data }, config)).settings;
  } catch (error) {
    if (error instanceof ProgramError) return error.message.replace(/\.$/, '');
    throw error;
  }
}

/** The first start makes folders that are missing: until then their disk is the one of what is there. */
function nearestFolder(folder: string): string {
  return existsSync(folder) ? folder : nearestFolder(dirname(folder));
}

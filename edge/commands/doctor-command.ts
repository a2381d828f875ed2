/** `doctor`: is everything as an edge needs it? Reads only, also beside a running edge. */
import { existsSync, statSync } from 'node:fs';
import { basename, dirname } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Command } from 'commander';
import { type Finding, finding, findingsExit, findingsText } from '#core/program/finding';
import { machineFindings, nodeFinding, serviceFindings } from '#core/program/machine-findings';
import { ProgramError } from '#core/program/program-error';
import { doctorClientId } from '#core/topics/access';
import type { EdgeConfig } from '../config/edge-config.ts';
import { collectSettings } from './collect-settings.ts';
import { machineIo, portHost } from './doctor-io.ts';

interface DoctorOptions {
  readonly config: string;
  readonly set: readonly string[];
  readonly json?: true;
}

const EXAMPLES = `Examples:
  girthlog-edge doctor --config rig-1.toml          port, permission, clock, disk, store, key, broker, watchdog
  sudo -u girthlog-edge girthlog-edge doctor --config /etc/girthlog/edge-rig-1.toml    as the service sees it
  girthlog-edge doctor --config rig-1.toml --json
`;

export function addDoctorCommand(program: Command): void {
  program
    .command('doctor')
    .description(
      'say of everything an edge needs whether it is well, and what to do (exit 3 where one says stop)',
    )
    .requiredOption('--config <file>', 'the TOML file')
    .option('--set <table.key=value>', 'override one setting; repeat for more', collectSettings, [])
    .option('--json', 'print JSON')
    .addHelpText('before', EXAMPLES)
    .exitOverride()
    .action(doctor);
}

async function doctor(options: DoctorOptions): Promise<void> {
  const findings = await findingsOf(options);
  process.stdout.write(options.json ? `${JSON.stringify(findings, null, 2)}\n` : findingsText(findings));
  process.exitCode = findingsExit(findings);
}

async function findingsOf(options: DoctorOptions): Promise<Finding[]> {
  const node = nodeFinding(process.versions.node, process.execPath);
  const read = await readConfig(options);
  if (typeof read === 'string') return [node, finding('configuration', 'stop', `${read}: mend the file`)];
  const [{ lookAtStore, runningEdge }, { sourceFinding }, { brokerFinding }, { reserveOf }] =
    await Promise.all([
      import('./doctor-store.ts'),
      import('./doctor-source.ts'),
      import('./doctor-broker.ts'),
      import('../outbox/disk-room.ts'),
    ]);
  const { storePath, requiredStores, storeBudget, source, broker, address } = read;
  const runningPid = runningEdge(storePath);
  const store = lookAtStore(storePath, requiredStores, runningPid);
  const machine = await machineFindings(machineIo, {
    folder: nearestFolder(dirname(storePath)),
    writtenIn: dirname(storePath),
    floorMs: Math.max(store.newestUtcMs ?? 0, statSync(fileURLToPath(import.meta.url)).mtimeMs),
    leastFreeBytes: totalBytes => reserveOf(storeBudget, { freeBytes: 0, totalBytes }),
  });
  return [
    node,
    finding(
      'configuration',
      'ok',
      `${options.config} reads well: ${address.site}/${address.rig}, ${read.origin} data`,
    ),
    await sourceFinding(source.url, portHost(), runningPid),
    ...machine,
    ...store.findings,
    await brokerFinding(broker, doctorClientId(address)),
    ...(await serviceFindings(machineIo, unitOf(options.config))),
  ];
}

/** The sentence that says what is wrong, without a full stop, instead. */
async function readConfig({ config: file, set }: DoctorOptions): Promise<EdgeConfig | string> {
  const [{ edgeConfig }, { loadConfig }] = await Promise.all([
    import('../config/edge-config.ts'),
    import('../config/load-config.ts'),
  ]);
  try {
    return edgeConfig(loadConfig({ file, set }));
  } catch (error) {
    if (error instanceof ProgramError) return error.message.replace(/\.$/, '');
    throw error;
  }
}

/** The first start makes folders that are missing: until then their disk is the one of what is there. */
function nearestFolder(folder: string): string {
  return existsSync(folder) ? folder : nearestFolder(dirname(folder));
}

/** docs/systemd: edge-rig-1.toml is read by girthlog-edge@rig-1. */
function unitOf(file: string): string {
  return `girthlog-edge@${basename(file, '.toml').replace(/^edge-/, '')}.service`;
}

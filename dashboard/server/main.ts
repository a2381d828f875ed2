#!/usr/bin/env node
/** girthlog-dashboard: the command line. stdout carries results, stderr the log and sentences for people. */
import { Command, CommanderError } from 'commander';
import { nodeProblem } from '#core/program/oldest-node';
import { EXIT, ProgramError } from '#core/program/program-error';
import { forkBrokerAhead } from './broker/fork-broker.ts';
import { addAdmitStoreCommand } from './commands/admit-store-command.ts';
import { addBackupCommands } from './commands/backup-command.ts';
import { addBrokerConfigCommand } from './commands/broker-config-command.ts';
import { addCarryCommand } from './commands/carry-command.ts';
import { addDoctorCommand } from './commands/doctor-command.ts';
import { addExportCommand } from './commands/export-command.ts';
import { addIngestCommand } from './commands/ingest-command.ts';
import { addMachinesCommands } from './commands/machines-command.ts';
import { addPruneCommand } from './commands/prune-command.ts';
import { addSetUpCodeCommand, setUpSentence } from './commands/set-up-code-command.ts';
import { addVerifyCommand } from './commands/verify-command.ts';
import { createLog, InternalEvents } from './internal-events.ts';
import { loadConfig, programAccounts, trainingSetup } from './load-config.ts';
import { noteRunning } from './machines/running-dashboard.ts';
import { SETTING_NAMES } from './settings.ts';
import { softwareVersion } from './software-version.ts';
import { withoutSecret } from './without-secret.ts';

const STOP_LIMIT_MS = 5000;

const EXAMPLES = `Examples:
  girthlog-dashboard run                                   page on http://127.0.0.1:8080, own broker on 127.0.0.1:1883
  girthlog-dashboard run --data /var/lib/girthlog --store truck
  girthlog-dashboard run --broker mqtt://10.0.0.5:1883     an external broker instead of the embedded one
  girthlog-dashboard run --config dashboard.toml --json    one JSON line on stdout when ready
  girthlog-dashboard config --config dashboard.toml        every setting and where it came from
  girthlog-dashboard doctor --config dashboard.toml        is everything as it should be, and what to do
  girthlog-dashboard backup truck-2026-05-12.tar.gz        everything in one file, while the dashboard runs
  girthlog-dashboard restore truck-2026-05-12.tar.gz --into new-data
  girthlog-dashboard verify                                 does everything kept still fit? exit 8 where it does not
  girthlog-dashboard prune --before 2026-01-31             what old samples take; --yes lets them go
  girthlog-dashboard setup-code                             a code that makes an administrator, for 15 minutes
  girthlog-dashboard export --day 2026-05-12 --zone Europe/Berlin --into exports
  girthlog-dashboard enrol spread-1/rig-a                   a one-time code that enrols a board; machines lists them
  girthlog-dashboard ingest --broker mqtt://a,mqtt://b      one of several workers for a fleet, see docs/fleet.md
  girthlog-dashboard openapi > openapi.json                the HTTP interface; asyncapi: the MQTT one
`;

function addSettings(command: Command): Command {
  return command
    .option('--data <directory>', 'directory of the store (girthlog-data/dashboard)')
    .option('--http <host:port>', 'where the page is served (127.0.0.1:8080)')
    .option('--mqtt <host:port>', 'where the embedded broker listens, or the next free port (127.0.0.1:1883)')
    .option('--broker <url>', 'external broker instead of the embedded one')
    .option('--time-zone <zone>', 'IANA time zone of the job (that of this machine)')
    .option('--store <name>', 'name the edges know this store by (truck)')
    .option(
      '--rigs <site/rig...>',
      'rigs in the order of their places on the screen, before they first report',
    )
    .option('--tls <on|off>', 'page and broker speak TLS, with own files or a certificate made here (off)')
    .option('--machines <who>', 'who may connect to the broker: enrolled, or loopback-open (loopback-open)')
    .option('--open-network', 'listen beyond this machine although nothing protects it')
    .option('--open-reading <who>', 'who may look without an account: machine, network or off (off)')
    .option('--demo', 'to try things out: the page says so, and a program may give sign-in links')
    .option('--training-control-url <url>', 'control of the simulator: makes this a dashboard of training')
    .option('--log-level <level>', 'debug, info, warn, error or silent (info)')
    .option('--config <file>', 'TOML file; flags and GIRTHLOG_DASHBOARD_… variables go before it');
}

function settingFlags(options: Record<string, unknown>): Record<string, unknown> {
  return Object.fromEntries(SETTING_NAMES.map(name => [name, options[name]]));
}

async function run(options: Record<string, unknown>): Promise<void> {
  const { settings } = await loadConfig(settingFlags(options), options['config'] as string | undefined);
  if (settings.broker === null) forkBrokerAhead(new URL('./broker.js', import.meta.url));
  const events = new InternalEvents(createLog(settings.logLevel), () => performance.now());
  const { Dashboard } = await import('./dashboard.ts');
  const { systemService } = await import('./health/system-service.ts');
  const service = systemService(async () => dashboard.getsOn());
  let stopping = false;
  let forget = (): void => {};
  const stop = (exitCode: number): void => {
    if (stopping) return;
    stopping = true;
    service.stopping();
    events.report('stopping');
    setTimeout(() => process.exit(exitCode || 1), STOP_LIMIT_MS).unref();
    forget();
    dashboard.stop().then(
      () => process.exit(exitCode),
      () => process.exit(exitCode || 1),
    );
  };
  const dashboard = new Dashboard({
    settings,
    training: trainingSetup(settings),
    programs: programAccounts(),
    events,
    onFatal: () => stop(EXIT.storeFailed),
  });
  process.on('SIGTERM', () => stop(0));
  process.on('SIGINT', () => stop(0));
  // State is unknown after either: say so and end; a supervisor starts afresh from what is stored.
  process.on('uncaughtException', error => endUnknown(error));
  process.on('unhandledRejection', error => endUnknown(error));
  const addresses = await dashboard.start();
  if (!stopping) forget = noteRunning(settings.data, addresses.http, options['config'] as string | undefined);
  events.report('started', { ...addresses });
  const text = options['json']
    ? JSON.stringify({ ready: true, ...addresses })
    : `Girthlog dashboard: ${addresses.http}   edges: ${addresses.mqtt}   (Ctrl-C stops)`;
  process.stdout.write(`${text}\n`);
  const code = dashboard.setUpCode();
  // On stderr, where a person reads and no program does; nothing but this line ever holds it.
  if (code !== null) process.stderr.write(setUpSentence(code, addresses.http));
  service.ready(`page ${addresses.http}, edges ${addresses.mqtt}`);

  function endUnknown(error: unknown): void {
    events.report('unhandled', { reason: error instanceof Error ? error.stack : String(error) });
    process.exit(EXIT.storeFailed);
  }
}

async function showConfig(options: Record<string, unknown>): Promise<void> {
  const { settings, sources } = await loadConfig(
    settingFlags(options),
    options['config'] as string | undefined,
  );
  const rows = SETTING_NAMES.map(name => {
    const value = settings[name];
    return { name, value: typeof value === 'string' ? withoutSecret(value) : value, source: sources[name] };
  });
  if (options['json']) {
    process.stdout.write(`${JSON.stringify(rows)}\n`);
    return;
  }
  for (const { name, value, source } of rows) {
    process.stdout.write(`${name.padEnd(22)} ${JSON.stringify(value).padEnd(38)} ${source}\n`);
  }
}

function requireNode(): void {
  const problem = nodeProblem(process.versions.node);
  if (problem !== null) throw new ProgramError(problem, EXIT.configuration);
}

async function main(): Promise<void> {
  // A reader that goes away (| head) is no error, and no reason to stop collecting.
  for (const stream of [process.stdout, process.stderr]) stream.on('error', () => undefined);
  requireNode();
  const program = new Command('girthlog-dashboard')
    .description('Collects what the edges record and shows it. Monitoring only: it never commands a rig.')
    .version(softwareVersion())
    .addHelpText('beforeAll', EXAMPLES)
    .exitOverride();
  addSettings(program.command('run'))
    .description('start the dashboard')
    .option('--json', 'print one JSON line when ready')
    .action(run);
  addSettings(program.command('config'))
    .description('show every setting and where it came from')
    .option('--json', 'as JSON')
    .action(showConfig);
  addDoctorCommand(program);
  addBackupCommands(program);
  addPruneCommand(program);
  addExportCommand(program);
  addVerifyCommand(program);
  addIngestCommand(program);
  addCarryCommand(program);
  addMachinesCommands(program);
  addAdmitStoreCommand(program);
  addBrokerConfigCommand(program);
  addSetUpCodeCommand(program);
  program
    .command('openapi')
    .description('print the OpenAPI document')
    .action(async () => printDocument((await import('./api/openapi.ts')).openApiDocument()));
  program
    .command('asyncapi')
    .description('print the AsyncAPI document')
    .action(async () => printDocument((await import('./api/asyncapi.ts')).asyncApiDocument()));
  await program.parseAsync();
}

function printDocument(document: unknown): void {
  process.stdout.write(`${JSON.stringify(document, null, 2)}\n`);
}

main().catch((error: unknown) => {
  if (error instanceof CommanderError) process.exit(error.exitCode === 0 ? 0 : EXIT.usage);
  if (error instanceof ProgramError) {
    process.stderr.write(`girthlog-dashboard: ${error.message}\n`);
    process.exit(error.exitCode);
  }
  process.stderr.write(`girthlog-dashboard: ${error instanceof Error ? error.stack : error}\n`);
  process.exit(1);
});

/** `ingest`: one of several workers that share a fleet's records (docs/fleet.md). */
import { type Command, Option } from 'commander';
import { EXIT, ProgramError } from '#core/program/program-error';
import { createLog, InternalEvents } from '../internal-events.ts';
import { withoutSecret } from '../without-secret.ts';

const STOP_LIMIT_MS = 5000;

export function addIngestCommand(program: Command): void {
  const setting = (flags: string, text: string, variable: string): Option =>
    new Option(flags, text).env(`GIRTHLOG_INGEST_${variable}`);
  program
    .command('ingest')
    .description(
      'take the records of many rigs from a broker cluster into PostgreSQL, as one of several workers',
    )
    .addOption(setting('--broker <urls>', 'mqtt://HOST:PORT, several of one cluster with commas', 'BROKER'))
    .addOption(setting('--broker-authority <file>', 'of an mqtts broker, PEM', 'BROKER_AUTHORITY'))
    .addOption(setting('--broker-certificate <file>', 'this worker’s own, PEM', 'BROKER_CERTIFICATE'))
    .addOption(setting('--broker-key <file>', 'its key, PEM', 'BROKER_KEY'))
    .addOption(setting('--records <url>', 'postgres://USER@HOST:PORT/DATABASE', 'RECORDS'))
    .addOption(setting('--samples <url>', 'http://HOST:PORT/DATABASE of an InfluxDB', 'SAMPLES'))
    .addOption(setting('--store <name>', 'name the edges know this store by (fleet)', 'STORE'))
    .addOption(setting('--sites <names>', 'only rigs of these sites, with commas', 'SITES').argParser(listOf))
    .addOption(setting('--rigs <names>', 'only these rigs: SITE/RIG, with commas', 'RIGS').argParser(listOf))
    .addOption(setting('--http <host:port>', 'where /livez, /readyz and /metrics are served', 'HTTP'))
    .addOption(setting('--log-level <level>', 'debug, info, warn, error or silent (info)', 'LOG_LEVEL'))
    .option('--json', 'print one JSON line when ready')
    .action(ingest);
}

function listOf(text: string): string[] {
  return text.split(',').filter(Boolean);
}

async function ingest({ json, ...flags }: Record<string, unknown>): Promise<void> {
  const { ingestSettings } = await import('../fleet/ingest-settings.ts');
  const { IngestWorker } = await import('../fleet/ingest-worker.ts');
  const { WorkerHttp } = await import('../fleet/worker-http.ts');
  const { systemService } = await import('../health/system-service.ts');
  const settings = ingestSettings(flags);
  const events = new InternalEvents(createLog(settings.logLevel), () => performance.now());
  let stopping = false;
  const stop = (exitCode: number): void => {
    if (stopping) return;
    stopping = true;
    service.stopping();
    events.report('stopping');
    setTimeout(() => process.exit(exitCode || 1), STOP_LIMIT_MS).unref();
    Promise.all([worker.stop(), http?.stop()]).then(
      () => process.exit(exitCode),
      () => process.exit(exitCode || 1),
    );
  };
  const endUnknown = (error: unknown): void => {
    events.report('unhandled', { reason: error instanceof Error ? error.stack : String(error) });
    process.exit(EXIT.internal);
  };
  const worker = new IngestWorker({ settings, report: events.report, onFatal: endUnknown });
  const service = systemService(async () => true);
  const http =
    settings.http &&
    new WorkerHttp({
      listen: settings.http,
      notReady: () => worker.notReady(),
      figures: () => worker.figures(),
      counters: () => events.counters(),
    });
  process.on('SIGTERM', () => stop(0));
  process.on('SIGINT', () => stop(0));
  process.on('uncaughtException', endUnknown);
  process.on('unhandledRejection', endUnknown);
  try {
    await worker.start();
  } catch (error) {
    if (error instanceof ProgramError) throw error;
    const reason = (error as Error).message || String((error as { code?: string }).code);
    throw new ProgramError(
      `Cannot use the database ${withoutSecret(settings.records)}: ${reason}.`,
      EXIT.network,
    );
  }
  const httpPort = (await http?.start()) ?? null;
  events.report('workerStarted', { broker: withoutSecret(settings.broker), http: httpPort });
  const share = [...settings.sites, ...settings.rigs.map(({ site, rig }) => `${site}/${rig}`)].join(', ');
  const text = json
    ? JSON.stringify({ ready: true, store: settings.store, httpPort })
    : `Girthlog ingest worker of store "${settings.store}": ${share || 'every rig'}   (Ctrl-C stops)`;
  process.stdout.write(`${text}\n`);
  service.ready(`records of ${share || 'every rig'}`);
}

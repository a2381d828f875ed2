import { performance } from 'node:perf_hooks';
import type { Command } from 'commander';
import { EXIT, ProgramError } from '#core/program/program-error';
import { edgeConfig } from '../config/edge-config.ts';
import { loadConfig } from '../config/load-config.ts';
import { createInternalEvents, type InternalEvents } from '../internal-events.ts';
import { StoreError } from '../outbox/outbox-types.ts';
import { collectSettings } from './collect-settings.ts';
import { systemService } from './system-service.ts';

/** A stop that takes longer is cut short: a supervisor must be able to rely on it, ms. */
const STOP_LIMIT_MS = 4500;
/** Time for the last alarm to leave before the program ends on a failed store, ms. */
const LAST_WORD_MS = 300;

interface RunOptions {
  readonly config: string;
  readonly set: readonly string[];
}

/** `run`: logs one rig until SIGTERM or SIGINT. */
export function addRunCommand(program: Command): void {
  program
    .command('run')
    .description('log one rig until told to stop (Ctrl-C or SIGTERM)')
    .requiredOption('--config <file>', 'the TOML file (docs/edge.md)')
    .option('--set <table.key=value>', 'override one setting; repeat for more', collectSettings, [])
    .addHelpText(
      'before',
      'Examples:\n  girthlog-edge run --config rig-1.toml\n  girthlog-edge run --config rig-1.toml --set log.level=debug\n',
    )
    .exitOverride()
    .action((options: RunOptions) => run(options));
}

async function run(options: RunOptions): Promise<void> {
  // Loaded only here: the other commands need no broker, port or store.
  const { EdgeProcess } = await import('../edge-process.ts');
  const config = edgeConfig(loadConfig({ file: options.config, set: options.set }));
  const events = createInternalEvents({ level: config.logLevel, monotonicMs: () => performance.now() });
  const service = systemService(() => edge.getsOn());
  let ending = false;
  const edge = new EdgeProcess({
    config,
    events,
    onFatal: error => {
      if (ending) return;
      ending = true;
      edge.lastWord();
      setTimeout(() => process.exit(fatalCode(error, events)), LAST_WORD_MS);
    },
  });
  // Unknown state is never gone on with; the supervisor starts a fresh process.
  for (const name of ['uncaughtException', 'unhandledRejection'] as const) {
    process.on(name, (error: unknown) => {
      events.emit('unhandled', { reason: error instanceof Error ? error.stack : String(error) });
      process.exit(EXIT.internal);
    });
  }
  const stop = (): void => {
    if (ending) return;
    ending = true;
    service.stopping();
    setTimeout(() => process.exit(EXIT.ok), STOP_LIMIT_MS).unref();
    void edge.stop().then(() => process.exit(EXIT.ok));
  };
  process.on('SIGTERM', stop);
  process.on('SIGINT', stop);
  try {
    await edge.start();
    service.ready('recording');
  } catch (error) {
    if (error instanceof StoreError && error.kind !== 'failed') {
      throw new ProgramError(error.message, EXIT.network);
    }
    process.exit(fatalCode(error, events));
  }
}

function fatalCode(error: unknown, events: InternalEvents): number {
  const reason = error instanceof Error ? error.message : String(error);
  if (error instanceof ProgramError) {
    process.stderr.write(`${reason}\n`);
    return error.exitCode;
  }
  if (error instanceof StoreError) {
    events.emit('storeFailed', { kind: error.kind, reason });
    return EXIT.storeFailed;
  }
  events.emit('unhandled', { reason: error instanceof Error ? error.stack : reason });
  return EXIT.internal;
}

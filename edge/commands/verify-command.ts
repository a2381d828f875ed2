import { existsSync } from 'node:fs';
import type { Command } from 'commander';
import { EXIT, ProgramError } from '#core/program/program-error';
import type { OutboxReport } from '../outbox/verify-outbox.ts';
import { collectSettings } from './collect-settings.ts';

interface VerifyOptions {
  readonly config?: string;
  readonly set: readonly string[];
  readonly store?: string;
  readonly json?: true;
}

const EXAMPLES = `Examples:
  girthlog-edge verify --config rig-1.toml         does everything in its store still fit? also while it runs
  girthlog-edge verify --store rig-1.db --json
`;

/** `verify`: the edge's own store; exit 0 when all fits, 8 when something does not. */
export function addVerifyCommand(program: Command): void {
  program
    .command('verify')
    .description('check every hash and seal in the store of this edge')
    .option('--config <file>', 'the TOML file that names the store')
    .option('--set <table.key=value>', 'override one setting; repeat for more', collectSettings, [])
    .option('--store <file>', 'the store itself')
    .option('--json', 'print JSON')
    .addHelpText('before', EXAMPLES)
    .exitOverride()
    .action(verify);
}

async function verify(options: VerifyOptions): Promise<void> {
  const path = await pathOf(options);
  if (!existsSync(path)) throw new ProgramError(`there is no store ${path}`, EXIT.configuration);
  const report = await reportOf(path);
  process.stdout.write(options.json ? `${JSON.stringify(report)}\n` : textOf(report));
  process.exitCode = report.fits ? EXIT.ok : EXIT.integrity;
}

async function pathOf({ store, config: file, set }: VerifyOptions): Promise<string> {
  if (store !== undefined) return store;
  if (file === undefined) throw new ProgramError('say --config FILE or --store FILE', EXIT.usage);
  const [{ edgeConfig }, { loadConfig }] = await Promise.all([
    import('../config/edge-config.ts'),
    import('../config/load-config.ts'),
  ]);
  return edgeConfig(loadConfig({ file, set })).storePath;
}

async function reportOf(path: string): Promise<OutboxReport> {
  const [{ default: Database }, { prepareStatements }, { verifyOutbox }] = await Promise.all([
    import('better-sqlite3'),
    import('../outbox/statements.ts'),
    import('../outbox/verify-outbox.ts'),
  ]);
  const db = new Database(path, { readonly: true, fileMustExist: true });
  try {
    db.pragma('trusted_schema = OFF');
    db.pragma('busy_timeout = 2000');
    return verifyOutbox(prepareStatements(db));
  } catch (error) {
    const code = (error as { code?: string }).code ?? String(error);
    throw new ProgramError(`the store ${path} cannot be read as one (${code})`, EXIT.integrity);
  } finally {
    db.close();
  }
}

function textOf({ fits, problem, stream, batches, reduced, seals, keys }: OutboxReport): string {
  return [
    ...(problem === null ? [] : [`DOES NOT FIT: ${problem}`]),
    `${fits ? 'Everything fits' : 'Checked'}: ${batches} batches of stream ${stream.slice(0, 8)}, ${seals} seals.`,
    ...(reduced > 0 && fits ? [`Note: samples of ${reduced} batches gave way, root intact.`] : []),
    ...keys.map(key => `Key: ${key}`),
    '',
  ].join('\n');
}

import type { Command } from 'commander';
import { loadConfig } from '../config/load-config.ts';
import { collectSettings } from './collect-settings.ts';

interface ShowOptions {
  readonly config: string;
  readonly set: readonly string[];
  readonly json?: true;
}

/** `config show`: every setting in force with where it came from. */
export function addConfigCommand(program: Command): void {
  const config = program.command('config').description('look at the configuration');
  config
    .command('show')
    .description('print every setting and where it came from')
    .requiredOption('--config <file>', 'the TOML file')
    .option('--set <table.key=value>', 'override one setting; repeat for more', collectSettings, [])
    .option('--json', 'print JSON')
    .exitOverride()
    .action((options: ShowOptions) => {
      const { entries } = loadConfig({ file: options.config, set: options.set });
      if (options.json) {
        process.stdout.write(`${JSON.stringify(entries, null, 2)}\n`);
        return;
      }
      const rows = entries.map(
        ({ key, value, origin }) => [`${key} = ${JSON.stringify(value)}`, origin] as const,
      );
      const width = Math.max(...rows.map(([text]) => text.length));
      for (const [text, origin] of rows) process.stdout.write(`${text.padEnd(width)}  # ${origin}\n`);
    });
  config.exitOverride();
}

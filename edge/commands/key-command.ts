import { existsSync } from 'node:fs';
import { performance } from 'node:perf_hooks';
import type { Command } from 'commander';
import { EXIT, ProgramError } from '#core/program/program-error';
import { inFours } from '../in-fours.ts';
import { collectSettings } from './collect-settings.ts';

interface KeyOptions {
  readonly config: string;
  readonly set: readonly string[];
  readonly json?: true;
}

const EXAMPLES = {
  show: 'Examples:\n  girthlog-edge key show --config rig-1.toml\n  girthlog-edge key show --config rig-1.toml --json\n',
  rotate: 'Examples:\n  girthlog-edge key rotate --config rig-1.toml    stop the edge first\n',
};

/** `key show` and `key rotate`: the key that signs this rig's seals (docs/seals.md). */
export function addKeyCommand(program: Command): void {
  const key = program.command('key').description('the key that signs this rig’s records');
  for (const [name, description, run] of [
    ['show', 'print the fingerprint of the key', show],
    ['rotate', 'make a new key, signed by the old one (edge stopped)', rotate],
  ] as const) {
    key
      .command(name)
      .description(description)
      .requiredOption('--config <file>', 'the TOML file')
      .option('--set <table.key=value>', 'override one setting; repeat for more', collectSettings, [])
      .option('--json', 'print JSON')
      .addHelpText('before', EXAMPLES[name])
      .exitOverride()
      .action(run);
  }
  key.exitOverride();
}

async function configOf({ config: file, set }: KeyOptions) {
  const [{ edgeConfig }, { loadConfig }] = await Promise.all([
    import('../config/edge-config.ts'),
    import('../config/load-config.ts'),
  ]);
  return edgeConfig(loadConfig({ file, set }));
}

async function show(options: KeyOptions): Promise<void> {
  const config = await configOf(options);
  const { keyPathOf, readSealKey } = await import('../seal/seal-key.ts');
  const path = keyPathOf(config.storePath);
  if (!existsSync(path)) {
    throw new ProgramError(
      `there is no key yet: girthlog-edge run makes ${path} at its first start`,
      EXIT.nothingFound,
    );
  }
  const { key } = readSealKey(path);
  const facts = { keyId: key.keyId, publicKey: key.publicKey, file: path };
  process.stdout.write(
    options.json
      ? `${JSON.stringify(facts, null, 2)}\n`
      : `fingerprint  ${inFours(key.keyId)}\npublic key   ${key.publicKey}\nfile         ${path}\n`,
  );
}

async function rotate(options: KeyOptions): Promise<void> {
  const config = await configOf(options);
  const { rotateKey } = await import('../seal/rotate-key.ts');
  const { from, to } = await rotateKey(config, {
    monotonicMs: () => performance.now(),
    monotonicNs: () => process.hrtime.bigint(),
    wallMs: () => Date.now(),
  });
  process.stdout.write(
    options.json
      ? `${JSON.stringify({ from, to }, null, 2)}\n`
      : `before  ${inFours(from)}\nnow     ${inFours(to)}\nThe old key has signed the new one; the next start tells the stores.\n`,
  );
}

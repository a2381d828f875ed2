/** `enrol`: makes this board a machine of a truck, by a one-time code from there (docs/machines.md). */
import { createInterface } from 'node:readline/promises';
import type { Command } from 'commander';
import { EXIT, ProgramError } from '#core/program/program-error';
import { inFours } from '../in-fours.ts';
import { collectSettings } from './collect-settings.ts';

interface EnrolOptions {
  readonly config: string;
  readonly set: readonly string[];
  readonly dashboard: string;
  readonly code: string;
  readonly fingerprint?: string;
  readonly json?: true;
}

const EXAMPLES = `Examples:
  girthlog-edge enrol --config rig-1.toml --dashboard https://truck-1:8443 --code 7Q2K-0DWX-M3HB
  sudo -u girthlog-edge girthlog-edge enrol --config /etc/girthlog/edge-rig-1.toml --dashboard … --code …
The truck makes the code: girthlog-dashboard enrol SITE/RIG
`;

export function addEnrolCommand(program: Command): void {
  program
    .command('enrol')
    .description('make this board a machine of a truck, by a one-time code from there')
    .requiredOption('--config <file>', 'the TOML file')
    .requiredOption('--dashboard <url>', 'the address of the truck’s page, such as https://truck-1:8443')
    .requiredOption('--code <code>', 'the one-time code')
    .option('--fingerprint <hex>', 'what the truck shows beside the code, instead of comparing it by eye')
    .option('--set <table.key=value>', 'override one setting; repeat for more', collectSettings, [])
    .option('--json', 'print JSON')
    .addHelpText('before', EXAMPLES)
    .exitOverride()
    .action(enrol);
}

async function enrol(options: EnrolOptions): Promise<void> {
  const [{ edgeConfig }, { loadConfig }, { enrolBoard }] = await Promise.all([
    import('../config/edge-config.ts'),
    import('../config/load-config.ts'),
    import('../enrol/enrol-board.ts'),
  ]);
  const config = edgeConfig(loadConfig({ file: options.config, set: options.set }));
  const dashboard = dashboardUrl(options.dashboard);
  const authority = dashboard.protocol === 'https:' ? await trusted(dashboard, options.fingerprint) : null;
  const { folder, url, sealKeyId, answer } = await enrolBoard(
    config,
    dashboard,
    authority,
    options.code,
    new Date(),
  );
  const { site, rig, store, credential } = answer;
  if (options.json) {
    const until = credential.kind === 'certificate' ? credential.endsAt : null;
    process.stdout.write(`${JSON.stringify({ site, rig, store, broker: url, folder, sealKeyId, until })}\n`);
    return;
  }
  const notListed = config.requiredStores.includes(store)
    ? ''
    : `Add "${store}" to store.required_stores in ${options.config}: it is the name of that truck's store.\n`;
  process.stdout.write(
    `${site}/${rig} is enrolled. Its credentials are in ${folder}; from its next start the edge connects to ${url}.\n` +
      `The truck knows the key of its records: ${inFours(sealKeyId)}\n${notListed}Start the edge again.\n`,
  );
}

/** The authority at the end of what the dashboard shows, once a person or an option has said that it is the truck's. */
async function trusted(dashboard: URL, given: string | undefined): Promise<string> {
  const { isSameFingerprint, shownAuthority } = await import('../enrol/dashboard-identity.ts');
  const { certificate, fingerprint } = await shownAuthority(dashboard);
  if (given !== undefined) {
    if (isSameFingerprint(fingerprint, given)) return certificate;
    throw new ProgramError(
      `${dashboard.origin} shows another fingerprint (${fingerprint}): that is not the truck, or not the code's. Nothing was sent`,
      EXIT.verification,
    );
  }
  if (!process.stdin.isTTY) {
    throw new ProgramError(
      `${dashboard.origin} shows the fingerprint ${fingerprint}: if the truck shows the same beside the code, say --fingerprint with it. Nothing was sent`,
      EXIT.usage,
    );
  }
  process.stderr.write(`${dashboard.origin} shows this fingerprint:\n\n  ${fingerprint}\n\n`);
  const lines = createInterface({ input: process.stdin, output: process.stderr });
  const answer = await lines.question('Does the truck show the same beside the code? (yes/no) ');
  lines.close();
  if (answer.trim().toLowerCase() === 'yes') return certificate;
  throw new ProgramError('not enrolled: nothing was sent', EXIT.usage);
}

function dashboardUrl(text: string): URL {
  const url = URL.canParse(text) ? new URL(text) : null;
  if (url?.protocol !== 'https:' && url?.protocol !== 'http:') {
    throw new ProgramError(
      `--dashboard ${text}: write the address of the truck’s page, such as https://truck-1:8443`,
      EXIT.usage,
    );
  }
  const isHere = /^(localhost|127(\.\d{1,3}){3}|\[::1\])$/.test(url.hostname);
  if (url.protocol === 'http:' && !isHere) {
    throw new ProgramError(
      `--dashboard ${text}: over plain HTTP anyone on the way could read the code; start the dashboard with --tls on`,
      EXIT.usage,
    );
  }
  return url;
}

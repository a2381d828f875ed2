/** `verify`: does everything that is kept still fit? Reads only, offline, also beside a running dashboard. */
import type { Command } from 'commander';
import type { VerifyReport } from '#core/messages/api-verify';
import { EXIT, ProgramError } from '#core/program/program-error';
import { loadConfig } from '../load-config.ts';
import { softwareVersion } from '../software-version.ts';
import type { Trust } from '../verify/check-journal.ts';
import type { VerifyReader } from '../verify/verify-reader.ts';

interface VerifyFlags {
  readonly data?: string;
  readonly config?: string;
  readonly joint?: string;
  readonly file?: string;
  readonly trust?: readonly string[];
  readonly json?: boolean;
}

export function addVerifyCommand(program: Command): void {
  program
    .command('verify')
    .description(
      'check every hash, seal and signature that is kept: exit 0 when all fits, 8 when something does not',
    )
    .option('--data <directory>', 'directory of the store (girthlog-data/dashboard)')
    .option('--config <file>', 'TOML file that names the directory')
    .option('--joint <number>', 'one joint instead of everything')
    .option(
      '--file <export.json>',
      'an exported joint record; with --data also whether that store still holds what it names',
    )
    .option('--trust <fingerprint...>', 'a key of the dashboard to be trusted, by its fingerprint')
    .option('--json', 'the report as JSON')
    .action(verify);
}

async function verify(flags: VerifyFlags): Promise<void> {
  if (flags.joint !== undefined && flags.file !== undefined) {
    throw new ProgramError('Say --joint or --file, not both.', EXIT.usage);
  }
  const report = await reportOf(flags);
  process.stdout.write(flags.json ? `${JSON.stringify(report)}\n` : reportText(report));
  // What was written has to leave the process first: a pipe is not done when write returns.
  process.exitCode = report.fits ? EXIT.ok : EXIT.integrity;
}

async function reportOf(flags: VerifyFlags): Promise<VerifyReport> {
  const about = { at: new Date().toISOString(), software: softwareVersion(), joint: flags.joint ?? null };
  const { verifyReport } = await import('../verify/verify-report.ts');
  const isStoreAsked = flags.file === undefined || flags.data !== undefined || flags.config !== undefined;
  const opened = isStoreAsked ? await openStore(flags) : null;
  try {
    const trust = trustOf(flags.trust ?? [], opened?.keys ?? []);
    if (flags.file !== undefined) {
      const { verifyFile } = await import('../verify/verify-file.ts');
      const verified = verifyFile(flags.file, trust, opened?.reader ?? null);
      return verifyReport(verified, { ...about, scope: 'file', joint: verified.joint });
    }
    const { reader } = opened!;
    if (flags.joint === undefined) {
      const { verifyStore } = await import('../verify/verify-store.ts');
      return verifyReport(toTheEnd(verifyStore(reader, trust)), { ...about, scope: 'store' });
    }
    const { verifyJoint } = await import('../verify/verify-joint.ts');
    const verified = toTheEnd(verifyJoint(reader, flags.joint, trust, 'everySeal'));
    if (verified) return verifyReport(verified, { ...about, scope: 'joint' });
    throw new ProgramError(`Nothing is entered or recorded of joint ${flags.joint}.`, EXIT.nothingFound);
  } finally {
    opened?.close();
  }
}

interface OpenedStore {
  readonly reader: VerifyReader;
  /** Fingerprints of the public keys that lie beside it. */
  readonly keys: readonly string[];
  readonly close: () => void;
}

async function openStore(flags: VerifyFlags): Promise<OpenedStore> {
  const { settings } = await loadConfig({ data: flags.data }, flags.config);
  const [
    { default: sqlite },
    { openReadOnly },
    { prepareOnce },
    { VerifyReader: Reader },
    { publicKeysBeside },
    { fingerprintOf },
  ] = await Promise.all([
    import('better-sqlite3'),
    import('../store/open-read-only.ts'),
    import('../store/statements.ts'),
    import('../verify/verify-reader.ts'),
    import('../seal/dashboard-key.ts'),
    import('../seal/ed25519.ts'),
  ]);
  const db = openReadOnly(sqlite, settings.data);
  return {
    reader: new Reader(prepareOnce(db)),
    keys: publicKeysBeside(settings.data).map(fingerprintOf),
    close: () => db.close(),
  };
}

/** The keys named on the command line, else those beside the store. */
function trustOf(named: readonly string[], beside: readonly string[]): Trust {
  const fingerprints = named.map(one => one.replaceAll(/[\s:]/g, '').toLowerCase());
  const wrong = fingerprints.find(one => !/^[0-9a-f]{64}$/.test(one));
  if (wrong !== undefined) {
    throw new ProgramError(`--trust ${wrong}: a fingerprint is 64 hexadecimal digits.`, EXIT.usage);
  }
  return new Set([...beside, ...fingerprints]);
}

function toTheEnd<T>(steps: Generator<void, T>): T {
  for (;;) {
    const { done, value } = steps.next();
    if (done) return value;
  }
}

function reportText({ scope, fits, problems, checked, notes, keys }: VerifyReport): string {
  const { streams, records, passes, seals, entries } = checked;
  const lines = [
    ...problems.map(({ text }) => `DOES NOT FIT: ${text}`),
    // An exported record holds no batches: that none was looked at is no finding of nothing.
    `${fits ? 'Everything fits' : 'Checked'}: ` +
      `${scope === 'file' ? '' : `${records} records of ${streams} streams, `}${passes} passes, ` +
      `${seals} seals, ${entries} journal entries.`,
    ...notes.map(note => `Note: ${note}`),
    ...keys.map(({ of, fingerprint }) => `Key of ${of}: ${fingerprint}`),
  ];
  return `${lines.join('\n')}\n`;
}

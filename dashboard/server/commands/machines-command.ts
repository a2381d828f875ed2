/** `enrol SITE/RIG`, `machines` and `revoke SITE/RIG`: beside a dashboard that may be running, which takes it up at once. */
import { existsSync } from 'node:fs';
import { networkInterfaces, userInfo } from 'node:os';
import { join } from 'node:path';
import type { Command } from 'commander';
import type { AuditWhat } from '#core/messages/api-account';
import { EXIT, ProgramError } from '#core/program/program-error';
import { principalOf } from '#core/topics/access';
import { isTopicId, type RigAddress } from '#core/topics/topics';
import { hostInUrl } from '../api/host-in-url.ts';
import { loadConfig } from '../load-config.ts';
import { certificateFingerprint } from '../machines/certificate-authority.ts';
import { EnrolmentDesk } from '../machines/enrolment-desk.ts';
import { MachineTable } from '../machines/machine-table.ts';
import { type RunningDashboard, runningDashboard } from '../machines/running-dashboard.ts';
import { TruckCertificates } from '../machines/truck-certificates.ts';
import { isLoopback, type Settings } from '../settings.ts';
import { AuditTable } from '../store/audit-table.ts';

interface Flags {
  readonly data?: string;
  readonly config?: string;
  readonly json?: boolean;
  readonly reason?: string;
}

export function addMachinesCommands(program: Command): void {
  common(program.command('enrol <site/rig>'))
    .description('make a one-time code that enrols a board for this rig, for 15 minutes')
    .action(enrol);
  common(program.command('machines'))
    .description('every board that was enrolled here, and whether it may connect')
    .action(list);
  common(program.command('revoke <name>'))
    .description(
      'take the access of a rig’s board (SITE/RIG) or of another dashboard (store.NAME) back at once',
    )
    .requiredOption('--reason <text>', 'why, for the list of machines')
    .action(revoke);
}

function common(command: Command): Command {
  return command
    .option('--data <directory>', 'directory of the store (girthlog-data/dashboard)')
    .option('--config <file>', 'TOML file of the dashboard')
    .option('--json', 'as JSON');
}

async function enrol(name: string, flags: Flags): Promise<void> {
  const rig = rigOf(name);
  const { settings: given } = await loadConfig({ data: flags.data }, flags.config);
  const running = runningDashboard(given.data);
  // Set by the file of the dashboard that runs on this store, where none was named.
  const config = flags.config ?? running?.config ?? undefined;
  await withDesk({ data: given.data, ...(config && { config }) }, async (desk, settings) => {
    const { address, note } = addressFor(running, settings, flags.config !== undefined);
    const fingerprint = await fingerprintOf(settings);
    const { code, endsAt } = desk.makeCode(rig, who());
    await writeDown(settings, 'machineCodeGiven', name);
    if (note !== null) process.stderr.write(`${note}\n`);
    if (flags.json) {
      process.stdout.write(`${JSON.stringify({ ...rig, code, endsAt, fingerprint, dashboard: address })}\n`);
      return;
    }
    const compare =
      fingerprint === null
        ? ''
        : `\nThe board shows a fingerprint before it sends the code. It must be this one:\n\n  ${fingerprint}\n`;
    process.stdout.write(
      `Code for ${name}: ${code}   (once, until ${endsAt})\n\nAt the board:\n\n` +
        `  girthlog-edge enrol --config RIG.toml --dashboard ${address} --code ${code}\n${compare}`,
    );
  });
}

/** Where the board asks: where the running dashboard listens, else as set; what is to be said of that, if anything. */
function addressFor(
  running: RunningDashboard | null,
  settings: Settings,
  isNamed: boolean,
): { address: string; note: string | null } {
  if (running !== null) {
    const { protocol, hostname, port } = new URL(running.http);
    const host = hostInUrl(hostToShow(hostname.replace(/^\[(.*)\]$/, '$1'), settings));
    const address = `${protocol}//${host}:${port || (protocol === 'https:' ? 443 : 80)}`;
    const isOtherwise = (protocol === 'https:') !== (settings.tls === 'on');
    const note = isOtherwise
      ? 'The running dashboard has its tls from a flag or its environment: give the same here, for the fingerprint to compare.'
      : null;
    return { address, note };
  }
  const { host, port } = settings.http;
  const scheme = settings.tls === 'on' ? 'https' : 'http';
  const note = isNamed
    ? null
    : `No dashboard runs on ${settings.data} now, and no --config was given: the address below is the one it would have without. Start it first, or give the --config of the dashboard.`;
  return { address: `${scheme}://${hostInUrl(hostToShow(host, settings))}:${port}`, note };
}

async function list(flags: Flags): Promise<void> {
  await withDesk(flags, (desk, _settings, table) => {
    const machines = desk.machines();
    const stores = table.stores();
    if (flags.json) {
      process.stdout.write(`${JSON.stringify({ machines, stores })}\n`);
      return;
    }
    if (machines.length + stores.length === 0) {
      process.stdout.write('No board was enrolled here yet: girthlog-dashboard enrol SITE/RIG.\n');
      return;
    }
    for (const { site, rig, state, kind, enrolledAt, endsAt, since, reason } of machines) {
      const until = endsAt === null ? '' : `, certificate until ${endsAt.slice(0, 10)}`;
      const ended = state === 'valid' ? '' : ` since ${since}${reason === null ? '' : `: ${reason}`}`;
      process.stdout.write(
        `${`${site}/${rig}`.padEnd(28)} ${state.padEnd(9)} ${kind}, enrolled ${enrolledAt}${until}${ended}\n`,
      );
    }
    for (const { name, state, madeAt, endsAt, since, reason } of stores) {
      const ended = state === 'valid' ? '' : ` since ${since}${reason === null ? '' : `: ${reason}`}`;
      process.stdout.write(
        `${`store.${name}`.padEnd(28)} ${state.padEnd(9)} certificate, made ${madeAt}, until ${endsAt.slice(0, 10)}${ended}\n`,
      );
    }
  });
}

async function revoke(name: string, flags: Flags): Promise<void> {
  const reason = (flags.reason ?? '').trim();
  if (reason.length < 3) throw new ProgramError('Say why, in a few words: --reason TEXT.', EXIT.usage);
  const principal = principalOf(name);
  await withDesk(flags, async (desk, settings, table) => {
    const decision = { at: new Date().toISOString(), by: who(), reason: reason.slice(0, 300) };
    const isDone =
      principal?.kind === 'store'
        ? table.revokeStore(principal.store, decision)
        : desk.revoke(rigOf(name), decision.by, decision.reason);
    if (!isDone) {
      throw new ProgramError(
        `${name} may not connect as it is: there is nothing to revoke.`,
        EXIT.nothingFound,
      );
    }
    await writeDown(settings, 'machineRevoked', `${name}: ${reason}`);
    process.stdout.write(
      flags.json
        ? `${JSON.stringify({ name, state: 'revoked' })}\n`
        : `${name} may not connect any more. With Mosquitto: write its files again and restart it (docs/machines.md).\n`,
    );
  });
}

export async function withDesk(
  { data, config }: Pick<Flags, 'data' | 'config'>,
  work: (desk: EnrolmentDesk, settings: Settings, table: MachineTable) => void | Promise<void>,
): Promise<void> {
  const { settings } = await loadConfig({ data }, config);
  const { default: sqlite } = await import('better-sqlite3');
  const table = new MachineTable(sqlite, settings.data);
  const desk = new EnrolmentDesk({
    table: () => table,
    now: () => new Date(),
    // The running dashboard reports what it takes up; nothing else happens here.
    report: () => {},
    store: settings.store,
    onChange: () => {},
  });
  try {
    await work(desk, settings, table);
  } finally {
    table.close();
  }
}

/** Into the log of accounts, where there is a store yet. */
export async function writeDown({ data }: Settings, what: AuditWhat, detail: string): Promise<void> {
  const file = join(data, 'dashboard.sqlite3');
  if (!existsSync(file)) return;
  const { openBeside } = await import('../store/open-beside.ts');
  const { db, sql } = await openBeside(file);
  try {
    const at = new Date().toISOString();
    const entry = { at, what, person: null, by: 'console', address: null, detail: detail.slice(0, 300) };
    // It reads before it writes: with the lock taken first it waits for a running dashboard instead of failing.
    new AuditTable(sql, work => db.transaction(work).immediate()).add(entry);
  } finally {
    db.close();
  }
}

async function fingerprintOf(settings: Settings): Promise<string | null> {
  if (settings.tls === 'off') return null;
  const certificates = new TruckCertificates({ settings, now: () => new Date() });
  return certificateFingerprint((await certificates.server()).authority);
}

function hostToShow(host: string, { hostNames }: Settings): string {
  if (isLoopback(host)) return host;
  if (hostNames[0] !== undefined) return hostNames[0];
  const isEvery = /^(0\.0\.0\.0|::)$/.test(host);
  // By address: a name that is not among host_names is not answered.
  const own = Object.values(networkInterfaces()).flatMap(list => list ?? []);
  return isEvery
    ? (own.find(({ internal, family }) => !internal && family === 'IPv4')?.address ?? host)
    : host;
}

export function rigOf(name: string): RigAddress {
  const [site = '', rig = '', ...more] = name.split('/');
  if (isTopicId(site) && isTopicId(rig) && more.length === 0) return { site, rig };
  throw new ProgramError(`"${name}" is not SITE/RIG, such as spread-1/rig-a.`, EXIT.usage);
}

function who(): string {
  return `console ${userInfo().username}`.slice(0, 60);
}

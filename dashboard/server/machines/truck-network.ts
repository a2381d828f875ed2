/**
 * The truck's side of the network: certificates kept fresh, the list of machines, and the broker that lets them in.
 * Who may connect is told to a running broker as soon as the list changes, also when a command beside it changed it.
 */
import { createHash, randomBytes } from 'node:crypto';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import type SqliteDatabase from 'better-sqlite3';
import { identityOf, principalOf } from '#core/topics/access';
import { hostInUrl, reachable } from '../api/host-in-url.ts';
import type { ServerTls } from '../api/http-server.ts';
import { BrokerProcess } from '../broker/broker-process.ts';
import type { BrokerAccess, BrokerTls, Credential } from '../broker/protocol.ts';
import type { SetCondition } from '../health/truck-conditions.ts';
import type { LinkCredentials } from '../ingest/mqtt-link.ts';
import type { ReportEvent } from '../internal-events.ts';
import type { Settings } from '../settings.ts';
import { withoutSecret } from '../without-secret.ts';
import { certificateFingerprint } from './certificate-authority.ts';
import { certificateCondition } from './certificate-condition.ts';
import { EnrolmentDesk, type EnrolmentTerms } from './enrolment-desk.ts';
import { externalCredentials } from './external-credentials.ts';
import { MACHINES_FILE, MachineTable } from './machine-table.ts';
import { areMachinesEnrolled, insistsOnTls, isSecure } from './network-rules.ts';
import { type ServerIdentity, TruckCertificates } from './truck-certificates.ts';
import type { TruckMachines } from './truck-machines.ts';

/** How soon a command beside the running dashboard takes effect. */
const LOOK_MS = 500;
const RENEWAL_MS = 3_600_000;

export interface TruckNetworkOptions {
  readonly settings: Settings;
  readonly sqlite: typeof SqliteDatabase;
  readonly report: ReportEvent;
  readonly set: SetCondition;
  readonly now: () => Date;
  /** The broker's bundle. */
  readonly brokerProgram: URL;
}

/** The broker as the dashboard itself reaches it, and as edges do. */
export interface BrokerReached {
  readonly url: string;
  readonly credentials: LinkCredentials;
  /** For people; without a secret. */
  readonly shown: string;
}

/** Addresses of one broker or cluster as boards are told them: a user in them is the dashboard's own. */
function withoutUsers(urls: string): string {
  return urls
    .split(',')
    .map(url => `${new URL(url).protocol}//${new URL(url).host}`)
    .join(',');
}

export class TruckNetwork implements TruckMachines {
  readonly desk: EnrolmentDesk;
  private readonly options: TruckNetworkOptions;
  private readonly certificates: TruckCertificates;
  readonly monotonicMs = (): number => performance.now();
  private readonly ownSecret = randomBytes(32).toString('hex');
  private identity: ServerIdentity | null = null;
  private opened: MachineTable | null = null;
  private seen = -1;
  private broker: BrokerProcess | null = null;
  private brokerPort: number | null = null;
  private timers: NodeJS.Timeout[] = [];
  /** A certificate took the place of the one before. */
  onRenewed: (tls: ServerTls) => void = () => {};

  constructor(options: TruckNetworkOptions) {
    this.options = options;
    const { settings, now, report } = options;
    this.certificates = new TruckCertificates({ settings, now });
    this.desk = new EnrolmentDesk({
      table: () => this.table(),
      now,
      report,
      store: settings.store,
      onChange: () => this.tellAccess(),
    });
  }

  /** Reads or makes what is shown to whoever connects. Throws ProgramError. */
  async open(): Promise<void> {
    if (isSecure(this.options.settings)) {
      this.identity = await this.certificates.server();
      await this.certificates.authority();
    }
  }

  async stop(): Promise<void> {
    for (const timer of this.timers.splice(0)) clearInterval(timer);
    await this.broker?.stop();
    this.opened?.close();
    this.opened = null;
  }

  /** Looks whether another certificate is to be shown; called once an hour. */
  async renew(): Promise<void> {
    try {
      const before = this.identity?.certificate;
      this.identity = await this.certificates.server();
      this.tellCondition();
      const tls = this.serverTls;
      const brokerTls = await this.brokerTls();
      if (this.identity.certificate === before || !tls || !brokerTls) return;
      this.options.report('certificateRenewed', { endsAt: this.identity.endsAt.toISOString() });
      this.onRenewed(tls);
      this.broker?.setTls(brokerTls);
    } catch (error) {
      this.options.report('certificateFailed', { reason: (error as Error).message });
    }
  }

  /** For the page's server; null without TLS. */
  get serverTls(): ServerTls | null {
    if (!this.identity) return null;
    const { key, certificate } = this.identity;
    return { key, certificate, insists: insistsOnTls(this.options.settings) };
  }

  /** Starts the embedded broker, or says how the external one is reached; from here on looks after both. */
  async reachBroker(): Promise<BrokerReached> {
    const { settings, report, brokerProgram } = this.options;
    if (this.identity) this.timers.push(setInterval(() => void this.renew(), RENEWAL_MS));
    this.timers.push(setInterval(() => this.look(), LOOK_MS));
    this.tellCondition();
    if (settings.broker !== null) {
      const credentials = await externalCredentials(settings.broker, settings, this.certificates);
      return { url: settings.broker, credentials, shown: withoutSecret(settings.broker) };
    }
    const broker = new BrokerProcess({
      program: brokerProgram,
      listen: settings.mqtt,
      maxConnections: settings.brokerMaxConnections,
      maxRigs: settings.maxRigs,
      report,
      onRefused: identity => this.refused(identity),
      access: this.access(),
      tls: await this.brokerTls(),
    });
    this.broker = broker;
    const port = await broker.start();
    this.brokerPort = port;
    const host = hostInUrl(reachable(settings.mqtt.host));
    const scheme = this.identity ? 'mqtts' : 'mqtt';
    return {
      url: this.identity ? `mqtt://127.0.0.1:${broker.innerPort}` : `mqtt://${host}:${port}`,
      credentials: { username: this.ownIdentity(), password: this.ownSecret },
      shown: `${scheme}://${host}:${port}`,
    };
  }

  /** What a board that enrols now is given. */
  async terms(): Promise<EnrolmentTerms> {
    const { settings } = this.options;
    const external = settings.broker;
    const scheme = this.identity ? 'mqtts' : 'mqtt';
    const broker =
      external === null
        ? ({ scheme, port: this.brokerPort ?? settings.mqtt.port } as const)
        : { url: withoutUsers(external) };
    const isEncrypted = external === null ? this.identity !== null : external.startsWith('mqtts:');
    if (!isEncrypted) return { broker, tls: null };
    const issuer = await this.certificates.authority();
    return { broker, tls: { issuer, authority: this.identity?.authority ?? issuer.certificate } };
  }

  /** Of the authority that a board is to trust, as it is compared by eye; null without TLS. */
  async fingerprint(): Promise<string | null> {
    const { tls } = await this.terms();
    return tls && certificateFingerprint(tls.authority);
  }

  private async brokerTls(): Promise<BrokerTls | null> {
    if (!this.identity) return null;
    const { key, certificate } = this.identity;
    return { key, certificate, machineAuthority: (await this.certificates.authority()).certificate };
  }

  private access(): BrokerAccess {
    const { settings } = this.options;
    const own: Credential = {
      kind: 'secret',
      identity: this.ownIdentity(),
      hash: createHash('sha256').update(this.ownSecret).digest('hex'),
    };
    const machines = this.hasTable() ? this.table().credentials() : [];
    return { isOpen: !areMachinesEnrolled(settings), credentials: [own, ...machines] };
  }

  private ownIdentity(): string {
    return identityOf({ kind: 'store', store: this.options.settings.store });
  }

  private tellAccess(): void {
    this.broker?.setAccess(this.access());
    this.tellCondition();
  }

  /** Has a command beside this process changed the list? */
  private look(): void {
    try {
      if (!this.hasTable()) return;
      const version = this.table().version();
      if (version === this.seen) return;
      this.seen = version;
      this.tellAccess();
    } catch (error) {
      this.options.report('machinesUnreadable', { reason: (error as Error).message });
    }
  }

  private tellCondition(): void {
    const machines = this.hasTable() ? this.table().all() : [];
    const nowMs = this.options.now().getTime();
    this.options.set('certificateEnds', certificateCondition(this.identity, machines, nowMs));
  }

  /** A connection without valid credentials: of a machine that is known here, or of nobody. */
  private refused(identity: string): void {
    const principal = principalOf(identity.replace(/^girthlog\//, ''));
    const isKnown =
      principal?.kind === 'edge' &&
      this.hasTable() &&
      this.table()
        .all()
        .some(({ site, rig }) => site === principal.site && rig === principal.rig);
    const rig = isKnown ? { site: principal.site, rig: principal.rig } : {};
    this.options.report('machineRefused', { ...rig, identity });
  }

  private hasTable(): boolean {
    return this.opened !== null || existsSync(join(this.options.settings.data, MACHINES_FILE));
  }

  private table(): MachineTable {
    this.opened ??= new MachineTable(this.options.sqlite, this.options.settings.data);
    return this.opened;
  }
}

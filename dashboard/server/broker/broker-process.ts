/** Keeps the broker child alive: started, and started again with growing pauses when it ends by itself. */
import type { ChildProcess } from 'node:child_process';
import { EXIT, ProgramError } from '#core/program/program-error';
import type { ReportEvent } from '../internal-events.ts';
import type { ListenAddress } from '../settings.ts';
import { forkBroker } from './fork-broker.ts';
import type { BrokerAccess, BrokerOrder, BrokerReport, BrokerStart, BrokerTls } from './protocol.ts';

export interface BrokerProcessOptions {
  /** The child's bundle. */
  readonly program: URL;
  readonly listen: ListenAddress;
  readonly maxConnections: number;
  readonly maxRigs: number;
  readonly report: ReportEvent;
  /** Left out: open to whoever reaches it. */
  readonly access?: BrokerAccess;
  /** A connection without valid credentials: the name it gave. */
  readonly onRefused?: (identity: string) => void;
  /** Null or left out: plain MQTT. */
  readonly tls?: BrokerTls | null;
}

const OPEN: BrokerAccess = { isOpen: true, credentials: [] };

/** Ports tried after the wanted one. */
const NEXT_PORTS = 20;
const RESTART_FIRST_MS = 200;
const RESTART_MAX_MS = 10_000;
const STOP_MS = 2000;

export class BrokerProcess {
  private readonly options: BrokerProcessOptions;
  private child: ChildProcess | null = null;
  private port: number | null = null;
  private inner: number | null = null;
  private access: BrokerAccess;
  private tls: BrokerTls | null;
  private stopping = false;
  private pauseMs = RESTART_FIRST_MS;
  private restart: NodeJS.Timeout | null = null;

  constructor(options: BrokerProcessOptions) {
    this.options = options;
    this.access = options.access ?? OPEN;
    this.tls = options.tls ?? null;
  }

  get pid(): number | null {
    return this.child?.pid ?? null;
  }

  /** Where the dashboard itself connects on loopback, never encrypted; known once started. */
  get innerPort(): number | null {
    return this.inner;
  }

  /** Who may connect from now on; whoever may not any more loses its connection. */
  setAccess(access: BrokerAccess): void {
    this.access = access;
    this.order({ kind: 'access', access });
  }

  /** What it shows from the next connection on. */
  setTls(tls: BrokerTls): void {
    this.tls = tls;
    this.order({ kind: 'tls', tls });
  }

  /** Resolves with the port the broker listens on. */
  async start(): Promise<number> {
    this.port = await this.spawn(this.options.listen.port, NEXT_PORTS);
    return this.port;
  }

  async stop(): Promise<void> {
    this.stopping = true;
    if (this.restart) clearTimeout(this.restart);
    const { child } = this;
    if (!child || child.exitCode !== null || child.signalCode !== null) return;
    const ended = new Promise<void>(resolve => child.once('exit', () => resolve()));
    child.kill('SIGTERM');
    const timer = setTimeout(() => child.kill('SIGKILL'), STOP_MS);
    await ended;
    clearTimeout(timer);
  }

  private spawn(port: number, tries: number): Promise<number> {
    const { program, listen, maxConnections, maxRigs, report } = this.options;
    const child = forkBroker(program);
    this.child = child;
    return new Promise<number>((resolve, reject) => {
      child.on('message', (message: BrokerReport) => {
        switch (message.kind) {
          case 'listening':
            this.pauseMs = RESTART_FIRST_MS;
            this.inner = message.innerPort;
            report('brokerStarted', { port: message.port });
            resolve(message.port);
            break;
          case 'failed':
            reject(
              new ProgramError(
                message.code === 'EADDRINUSE'
                  ? `MQTT port ${port} on ${listen.host} and the ${tries} after it are in use: choose another with --mqtt ${listen.host}:PORT.`
                  : `The broker cannot listen on ${listen.host}:${port} (${message.code}): choose another address with --mqtt.`,
                EXIT.network,
              ),
            );
            child.kill('SIGTERM');
            break;
          case 'refused':
            report('brokerRefused', { cause: message.cause, detail: message.detail }, message.count);
            if (message.cause === 'notAuthorised' || message.cause === 'revoked') {
              this.options.onRefused?.(message.detail);
            }
            break;
          case 'trespass': {
            const { identity, what, name, count } = message;
            const [site, rig] = identity.split('/');
            report('machineTrespassed', { site, rig, identity, what, name }, count);
            break;
          }
        }
      });
      let isOver = false;
      const over = (code: number | string | null, signal: NodeJS.Signals | null): void => {
        if (isOver || this.stopping || this.child !== child || this.port === null) return;
        isOver = true;
        report('brokerExited', { code, signal, againInMs: this.pauseMs });
        this.restartLater();
      };
      child.on('error', (error: NodeJS.ErrnoException) => {
        reject(error);
        // Where no process could be made there is none that could end.
        if (child.pid === undefined) over(error.code ?? null, null);
      });
      child.on('exit', (code, signal) => {
        reject(new ProgramError(`The broker process ended (${signal ?? code}).`, EXIT.network));
        over(code, signal);
      });
      const { access, tls } = this;
      const limits = { maxConnections, maxRigs, innerPort: this.inner ?? 0 };
      const start: BrokerStart = { kind: 'start', host: listen.host, port, tries, ...limits, access, tls };
      child.send(start);
    });
  }

  private order(order: BrokerOrder): void {
    // One that is being started again is told with its start.
    if (this.child?.connected) this.child.send(order);
  }

  /** The same port as before: edges know it. */
  private restartLater(): void {
    this.restart = setTimeout(() => {
      // A failed start ends the child, whose exit comes back here.
      this.spawn(this.port!, 0).catch(() => {});
    }, this.pauseMs);
    this.pauseMs = Math.min(RESTART_MAX_MS, this.pauseMs * 2);
  }
}

import { z } from 'zod';
import { EXIT, ProgramError } from '#core/program/program-error';
import { SupervisedChild } from './supervised-child.ts';

export interface DashboardAddresses {
  readonly http: string;
  readonly mqtt: string;
}

export interface DashboardOptions {
  readonly script: string;
  readonly env?: Readonly<Record<string, string>>;
  readonly dataPath: string;
  readonly logFile: string;
  readonly httpPort: number;
  readonly mqttPort: number;
  /** site/rig, in the order of their places on the screen. */
  readonly rigs: readonly string[];
  say(sentence: string): void;
  giveUp(sentence: string): void;
}

const READY_PATIENCE_MS = 30_000;
const readySchema = z.object({ ready: z.literal(true), http: z.string(), mqtt: z.string() });

/** The dashboard program: up when it has said where it listens, and started again on the same ports. */
export class DashboardProcess {
  private readonly options: DashboardOptions;
  private child: SupervisedChild | null = null;
  private addresses: DashboardAddresses | null = null;
  private patience: NodeJS.Timeout | null = null;

  constructor(options: DashboardOptions) {
    this.options = options;
  }

  /** Throws ProgramError when it does not come up. */
  async start(): Promise<DashboardAddresses> {
    const { options } = this;
    return await new Promise<DashboardAddresses>((resolve, reject) => {
      const fail = (sentence: string) => reject(new ProgramError(sentence, EXIT.network));
      this.patience = setTimeout(
        () => fail(`The dashboard did not begin in time; its messages are in ${options.logFile}.`),
        READY_PATIENCE_MS,
      );
      this.child = new SupervisedChild({
        name: 'dashboard',
        script: options.script,
        env: options.env ?? {},
        logFile: options.logFile,
        args: () => this.args(),
        onLine: line => {
          const addresses = readyLine(line);
          if (addresses === null) return;
          this.stopWaiting();
          this.addresses = addresses;
          resolve(addresses);
        },
        say: sentence => {
          // Before it has ever been up, its own sentence says what is wrong with this machine.
          if (this.addresses !== null) return options.say(sentence);
          this.stopWaiting();
          fail(sentence.replace(/; it is started again.*$/, '.'));
        },
        giveUp: options.giveUp,
      });
      this.child.start();
    });
  }

  async stop(graceMs: number): Promise<void> {
    this.stopWaiting();
    await this.child?.stop(graceMs);
  }

  private stopWaiting(): void {
    if (this.patience) clearTimeout(this.patience);
    this.patience = null;
  }

  private args(): string[] {
    const { dataPath, httpPort, mqttPort, rigs } = this.options;
    const http = this.addresses === null ? `127.0.0.1:${httpPort}` : new URL(this.addresses.http).host;
    const mqtt =
      this.addresses === null ? `127.0.0.1:${mqttPort}` : this.addresses.mqtt.replace(/^mqtts?:\/\//, '');
    const open = ['--open-reading', 'machine', '--demo'];
    return ['run', '--data', dataPath, '--http', http, '--mqtt', mqtt, '--json', ...open, '--rigs', ...rigs];
  }
}

function readyLine(line: string): DashboardAddresses | null {
  try {
    const parsed = readySchema.safeParse(JSON.parse(line));
    return parsed.success ? { http: parsed.data.http, mqtt: parsed.data.mqtt } : null;
  } catch {
    return null;
  }
}

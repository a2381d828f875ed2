import { type ChildProcess, spawn } from 'node:child_process';
import { createWriteStream, type WriteStream } from 'node:fs';
import { createInterface } from 'node:readline';
import { ownEnvironment } from './load-config.ts';

export interface ChildOptions {
  readonly name: string;
  /** Path of the program's bundle. */
  readonly script: string;
  readonly args: readonly string[];
  /** Added to what this process's own environment holds. */
  readonly env?: Readonly<Record<string, string>>;
  /** Its messages (stderr) go here. */
  readonly logFile: string;
  onLine(line: string): void;
  /** It ended without being asked to. */
  onDeath(reason: string, code: number | null): void;
}

/** One of the demo's programs while it runs. */
export class ChildProgram {
  readonly options: ChildOptions;
  private child: ChildProcess | null = null;
  private log: WriteStream | null = null;
  private ended: Promise<void> = Promise.resolve();
  private asked = false;
  private lastMessage = '';

  constructor(options: ChildOptions) {
    this.options = options;
  }

  get pid(): number | null {
    return this.child?.pid ?? null;
  }

  start(): void {
    const { script, args, logFile, env } = this.options;
    this.asked = false;
    this.lastMessage = '';
    const log = createWriteStream(logFile, { flags: 'a' });
    log.on('error', () => log.destroy());
    this.log = log;
    // A process group of its own: Ctrl-C reaches the demo alone, which stops the others in order.
    const child = spawn(process.execPath, [script, ...args], {
      stdio: ['ignore', 'pipe', 'pipe'],
      detached: true,
      ...(env === undefined || Object.keys(env).length === 0 ? {} : { env: { ...ownEnvironment(), ...env } }),
    });
    this.child = child;
    // Whatever ends the demo, nothing of it is left running.
    const killWithDemo = () => child.kill('SIGKILL');
    process.once('exit', killWithDemo);
    child.once('close', () => process.off('exit', killWithDemo));
    createInterface({ input: child.stdout! }).on('line', line => this.options.onLine(line));
    createInterface({ input: child.stderr! }).on('line', line => {
      if (!isStackTrace(line)) this.lastMessage = line;
      if (log.writable) log.write(`${line}\n`);
    });
    this.ended = new Promise(resolve => {
      child.once('error', error => {
        this.over(null, error.message);
        resolve();
      });
      child.once('close', (code, signal) => {
        this.over(code, signal === null ? `exit code ${code}` : `signal ${signal}`);
        resolve();
      });
    });
  }

  /** Asks it to stop, waits, and ends it by force where it does not within `graceMs`. */
  async stop(graceMs: number): Promise<void> {
    const { child } = this;
    this.asked = true;
    if (child === null) return;
    child.kill('SIGTERM');
    const force = setTimeout(() => child.kill('SIGKILL'), graceMs);
    await this.ended;
    clearTimeout(force);
  }

  private over(code: number | null, how: string): void {
    if (this.child === null) return;
    this.child = null;
    this.log?.end();
    this.log = null;
    if (this.asked) return;
    const said = sentenceOf(this.lastMessage);
    this.options.onDeath(said === null ? how : `${how}: ${said}`, code);
  }
}

/** Lines around an uncaught exception that tell a person nothing. */
function isStackTrace(line: string): boolean {
  return line.trim() === '' || /^(Node\.js v|\s+at |\s|\}|\^|Emitted )/.test(line);
}

/** pino's level of an error; anything below says nothing of why a program ended. */
const LOG_ERROR = 50;

/** What a program said last: a plain sentence, or the message of an error in its JSON log. */
function sentenceOf(line: string): string | null {
  if (line === '') return null;
  try {
    const { msg, level } = JSON.parse(line) as { msg?: unknown; level?: unknown };
    return typeof msg === 'string' && Number(level) >= LOG_ERROR ? msg : null;
  } catch {
    return line.slice(0, 300);
  }
}

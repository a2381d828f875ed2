import { ChildProgram } from './child-program.ts';

export interface SupervisedOptions {
  readonly name: string;
  readonly script: string;
  /** Added to this process's environment. */
  readonly env?: Readonly<Record<string, string>>;
  readonly logFile: string;
  /** Arguments of the next start; `starts` counts from 1. */
  args(starts: number): readonly string[];
  onLine(line: string): void;
  /** One sentence for the person who watches. */
  say(sentence: string): void;
  /** It will not stay up. */
  giveUp(sentence: string): void;
}

const FIRST_WAIT_MS = 1000;
const LONGEST_WAIT_MS = 15_000;
/** Up for so long, and its earlier deaths no longer count. */
const GOOD_AFTER_MS = 30_000;
const MOST_DEATHS = 5;

/** Starts a program and starts it again when it dies, less and less eagerly, until it is given up. */
export class SupervisedChild {
  readonly options: SupervisedOptions;
  private child: ChildProgram | null = null;
  private starts = 0;
  private deaths = 0;
  private startedMs = 0;
  private timer: NodeJS.Timeout | null = null;
  private stopped = false;

  constructor(options: SupervisedOptions) {
    this.options = options;
  }

  start(): void {
    const { name, script, logFile, env = {} } = this.options;
    this.timer = null;
    this.starts++;
    this.startedMs = performance.now();
    this.child = new ChildProgram({
      name,
      script,
      env,
      logFile,
      args: this.options.args(this.starts),
      onLine: line => this.options.onLine(line),
      onDeath: reason => this.died(reason),
    });
    this.child.start();
  }

  async stop(graceMs: number): Promise<void> {
    this.stopped = true;
    if (this.timer) clearTimeout(this.timer);
    await this.child?.stop(graceMs);
  }

  private died(reason: string): void {
    if (this.stopped) return;
    const { name, logFile, say, giveUp } = this.options;
    if (performance.now() - this.startedMs > GOOD_AFTER_MS) this.deaths = 0;
    this.deaths++;
    if (this.deaths >= MOST_DEATHS) {
      giveUp(`The ${name} ended ${this.deaths} times in a row (${reason}); its messages are in ${logFile}.`);
      return;
    }
    const waitMs = Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** (this.deaths - 1));
    say(`The ${name} ended (${reason}); it is started again in ${waitMs / 1000} s.`);
    this.timer = setTimeout(() => this.start(), waitMs);
  }
}

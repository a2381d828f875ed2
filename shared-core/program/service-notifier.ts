/**
 * Tells the supervisor that the program is ready, gets on, and stops: sd_notify(3) of systemd, sent by its own
 * systemd-notify(1), since Node has no Unix datagram socket. Whoever starts the program without a supervisor
 * notices nothing. Nothing here reads a clock, an environment or a process: all is passed in.
 */

export interface ServiceEnvironment {
  /** NOTIFY_SOCKET: where the supervisor listens. */
  readonly notifySocket: string | undefined;
  /** WATCHDOG_USEC: it starts the program again when it has heard nothing for so long. */
  readonly watchdogUsec: string | undefined;
  /** WATCHDOG_PID: whom that is meant for. */
  readonly watchdogPid: string | undefined;
}

export interface ServiceNotifierOptions {
  readonly environment: ServiceEnvironment;
  readonly pid: number;
  /** Sends such assignments as "READY=1". */
  readonly send: (states: readonly string[]) => void;
  /** Repeats `task`; gives back how to end that. */
  readonly every: (ms: number, task: () => void) => () => void;
  /** True when what the program is for has got on since it was asked last; may never answer. */
  readonly getsOn: () => Promise<boolean>;
}

/** Three in the time the supervisor waits, so that one that is late is no reason to start again. */
const PER_INTERVAL = 3;

/** How often to say that the program gets on, ms; null where nobody asks this process for it. */
export function watchdogEveryMs(environment: ServiceEnvironment, pid: number): number | null {
  const { notifySocket, watchdogUsec, watchdogPid } = environment;
  const usec = Number(watchdogUsec);
  if (!notifySocket || !(usec > 0)) return null;
  if (watchdogPid !== undefined && Number(watchdogPid) !== pid) return null;
  return usec / 1000 / PER_INTERVAL;
}

export class ServiceNotifier {
  private readonly options: ServiceNotifierOptions;
  private end: () => void = () => {};
  private asking = false;

  constructor(options: ServiceNotifierOptions) {
    this.options = options;
  }

  /** Everything is up; `status` is one sentence for whoever asks the supervisor. */
  ready(status: string): void {
    const { environment, pid, send, every } = this.options;
    if (!environment.notifySocket) return;
    send(['READY=1', `STATUS=${status}`]);
    const ms = watchdogEveryMs(environment, pid);
    if (ms !== null) this.end = every(ms, () => this.tick());
  }

  stopping(): void {
    this.end();
    if (this.options.environment.notifySocket) this.options.send(['STOPPING=1']);
  }

  /** Says nothing while the last question is not answered: then the program does not get on. */
  private tick(): void {
    if (this.asking) return;
    this.asking = true;
    this.options.getsOn().then(
      gotOn => {
        this.asking = false;
        if (gotOn) this.options.send(['WATCHDOG=1']);
      },
      () => {
        this.asking = false;
      },
    );
  }
}

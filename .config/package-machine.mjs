/**
 * A clean Debian in a folder, with a network of its own that leads nowhere: for trying the package. Needs root, debootstrap,
 * unshare, nsenter and ip. Its processes live in one process namespace and end with it.
 */
import { execFileSync, spawn, spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, renameSync, rmSync } from 'node:fs';
import { dirname, join } from 'node:path';

const INCLUDE = 'systemd,libstdc++6,ca-certificates';

/** Made once from Debian's archive and kept; a copy is laid for each run. */
export function layMachine({ suite, kept, folder }) {
  if (!existsSync(kept)) {
    const making = `${kept}.making`;
    rmSync(making, { recursive: true, force: true });
    mkdirSync(dirname(kept), { recursive: true });
    execFileSync('debootstrap', ['--variant=minbase', `--include=${INCLUDE}`, suite, making], {
      stdio: 'ignore',
    });
    renameSync(making, kept);
  }
  rmSync(folder, { recursive: true, force: true });
  execFileSync('cp', ['-a', kept, folder]);
}

export class Machine {
  #init;
  #folder;

  constructor(folder) {
    this.#folder = folder;
  }

  /** Resolves when its namespaces stand. */
  async start() {
    const at = name => join(this.#folder, name);
    const script = [
      'set -e',
      'ip link set lo up',
      `mount -t proc proc ${at('proc')}`,
      `mount -t tmpfs tmpfs ${at('run')}`,
      `mount -t tmpfs tmpfs ${at('dev/shm')}`,
      'echo up',
      'exec sleep infinity',
    ].join('\n');
    this.#init = spawn(
      'unshare',
      ['--net', '--pid', '--mount', '--uts', '--fork', '--kill-child', 'sh', '-c', script],
      { stdio: ['ignore', 'pipe', 'inherit'] },
    );
    await new Promise((resolve, reject) => {
      this.#init.stdout.once('data', resolve);
      this.#init.once('exit', code => reject(new Error(`the machine did not start (${code})`)));
    });
  }

  stop() {
    this.#init?.kill('SIGKILL');
  }

  #inside(command, { user, group = user, env = {} } = {}) {
    const inner = [
      ...[
        'env',
        '-i',
        'PATH=/usr/sbin:/usr/bin:/sbin:/bin',
        'DEBIAN_FRONTEND=noninteractive',
        'LC_ALL=C.UTF-8',
      ],
      ...Object.entries(env).map(([name, value]) => `${name}=${value}`),
      ...command,
    ];
    // As a service is started: the user's own groups, and nothing to gain by another program.
    const as = user ? ['setpriv', '--reuid', user, '--regid', group, '--init-groups', '--no-new-privs'] : [];
    // unshare's only child is the first process of the namespaces.
    const [child] = execFileSync('pgrep', ['-P', String(this.#init.pid)], { encoding: 'utf8' })
      .trim()
      .split('\n');
    return ['nsenter', '-t', child, '--net', '--pid', '--mount', 'chroot', this.#folder, ...as, ...inner];
  }

  /** Runs to its end: `{ status, stdout, stderr }`. */
  run(command, options = {}) {
    const [program, ...args] = this.#inside(command, options);
    const { status, stdout, stderr, error } = spawnSync(program, args, {
      encoding: 'utf8',
      input: options.input,
      maxBuffer: 64 * 1024 * 1024,
    });
    if (error) throw error;
    return { status, stdout, stderr };
  }

  /** Starts and follows: `{ said(), exited, stop() }`; stop is SIGTERM, as systemd sends it. */
  spawn(command, options = {}) {
    const [program, ...args] = this.#inside(
      ['sh', '-c', 'echo pid $$ >&2; exec "$@"', 'sh', ...command],
      options,
    );
    const child = spawn(program, args, { stdio: ['ignore', 'pipe', 'pipe'] });
    let said = '';
    for (const stream of [child.stdout, child.stderr]) {
      stream.setEncoding('utf8').on('data', text => {
        said += text;
      });
    }
    const exited = new Promise(resolve => child.once('close', (code, signal) => resolve(code ?? signal)));
    return {
      said: () => said,
      exited,
      stop: () => {
        const [, pid] = /^pid (\d+)$/m.exec(said) ?? [];
        if (pid === undefined) throw new Error(`it never started: ${said}`);
        this.run(['sh', '-c', `kill -TERM ${pid}`]);
        return exited;
      },
    };
  }
}

/**
 * A clean Debian in a folder, with a network of its own that leads nowhere: for trying the package. Needs root, debootstrap,
 * unshare, nsenter and ip. Its processes live in one process namespace and end with it.
 */
import { execFileSync, spawn, spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, renameSync, rmSync, symlinkSync } from 'node:fs';
import { dirname, join } from 'node:path';

const INCLUDE = 'systemd,dbus,libstdc++6';

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

/** Of a machine that shares its kernel with this one: nothing may set what is the kernel's. */
const NOT_STARTED = [
  ...[
    'systemd-sysctl.service',
    'systemd-modules-load.service',
    'systemd-remount-fs.service',
    'console-getty.service',
  ],
  ...['getty.target', 'getty-static.service', 'systemd-binfmt.service', 'proc-sys-fs-binfmt_misc.automount'],
  ...['dev-hugepages.mount', 'dev-mqueue.mount', 'sys-fs-fuse-connections.mount', 'sys-kernel-config.mount'],
  ...[
    'sys-kernel-debug.mount',
    'sys-kernel-tracing.mount',
    'systemd-udevd.service',
    'systemd-udev-trigger.service',
  ],
];

/** Where this machine keeps control groups of the second version; null: nowhere, and systemd cannot be started in one. */
export function controlGroups() {
  const line = readFileSync('/proc/mounts', 'utf8')
    .split('\n')
    .find(one => / cgroup2 (?:\S*,)?rw/.test(one));
  return line?.split(' ')[1] ?? null;
}

export class Machine {
  #init;
  #folder;
  #group = null;

  constructor(folder) {
    this.#folder = folder;
  }

  /** Resolves when its namespaces stand; with `systemd` that is its first process, and it says that it runs. */
  async start({ systemd = false } = {}) {
    const at = name => join(this.#folder, name);
    const script = [
      ...[
        'set -e',
        'ip link set lo up',
        'mount --make-rprivate /',
        `mount --bind ${at('')} ${at('')}`,
        `mount --bind ${at('dev')} ${at('dev')}`,
      ],
      ...[
        `mount -t proc proc ${at('proc')}`,
        `mount -t tmpfs tmpfs ${at('run')}`,
        `mount -t tmpfs tmpfs ${at('dev/shm')}`,
      ],
    ];
    const namespaces = ['--net', '--pid', '--mount', '--uts', '--ipc', '--fork', '--kill-child'];
    if (systemd) {
      for (const unit of NOT_STARTED) symlinkSync('/dev/null', at(`etc/systemd/system/${unit}`));
      this.#group = join(controlGroups(), `girthlog-package-test-${process.pid}`);
      mkdirSync(this.#group);
      namespaces.push('--cgroup');
      script.push(
        `mount -o bind,ro ${at('proc/sys')} ${at('proc/sys')}`,
        `mount -t sysfs -o ro sysfs ${at('sys')}`,
        `mount -t cgroup2 cgroup2 ${at('sys/fs/cgroup')}`,
      );
    }
    // Not chroot: a process with another root than its namespace's may make no user namespace, and units ask for one.
    script.push(
      `cd ${this.#folder}`,
      'mkdir -p .outside',
      'pivot_root . .outside',
      'umount -l /.outside',
      'echo up',
    );
    script.push(
      systemd
        ? 'exec env -i container=package-test PATH=/usr/sbin:/usr/bin:/sbin:/bin /lib/systemd/systemd --log-target=null'
        : 'exec sleep infinity',
    );
    const enter = this.#group === null ? '' : `echo $$ > ${this.#group}/cgroup.procs; `;
    this.#init = spawn(
      'sh',
      ['-ec', `${enter}exec unshare "$@"`, 'sh', ...namespaces, 'sh', '-c', script.join('\n')],
      {
        stdio: ['ignore', 'pipe', 'inherit'],
      },
    );
    await new Promise((resolve, reject) => {
      this.#init.stdout.once('data', resolve);
      this.#init.once('exit', code => reject(new Error(`the machine did not start (${code})`)));
    });
  }

  /** Ends every process in it. */
  async stop() {
    if (!this.#init || this.#init.exitCode !== null || this.#init.signalCode !== null) return;
    const gone = new Promise(resolve => this.#init.once('exit', resolve));
    this.kill();
    await gone;
    if (this.#group !== null) removeGroup(this.#group);
  }

  /** Without waiting, for the last moment of the process. */
  kill() {
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
    return [
      'nsenter',
      '-t',
      child,
      '--net',
      '--pid',
      '--mount',
      '--uts',
      '--ipc',
      '--root',
      '--wd',
      ...as,
      ...inner,
    ];
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

/** Groups go from the innermost, once their last process has. */
function removeGroup(group) {
  execFileSync('sh', ['-c', `sleep 1; find ${group} -depth -type d -exec rmdir {} +`], { stdio: 'ignore' });
}

/**
 * `npm run package:test`: installs the Debian package into a clean Debian 12 without a network and uses it as an installer
 * would: configure, doctor, run by the lines of the units, upgrade, go back, remove, purge. Not part of CI: it needs root,
 * `apt-get install debootstrap dpkg-dev`, Debian's archive and some minutes. systemd does not run in the first machine:
 * its units are checked by systemd-analyze, and started by their ExecStart as their users. Last, a second machine is
 * booted with systemd, and the services are looked after by it. Options: --worktree packages the files as they lie; --reuse takes
 * the packages that were built last; --only test or --only services does one part.
 */
import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { cpSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { controlGroups, layMachine, Machine } from './package-machine.mjs';
import { testServices } from './package-test-services.mjs';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const { values } = parseArgs({
  options: {
    worktree: { type: 'boolean' },
    suite: { type: 'string', default: 'bookworm' },
    reuse: { type: 'boolean' },
    only: { type: 'string' },
  },
});
const cache = join(root, '.cache/package');
const folder = join(cache, 'machine');
const startedMs = Date.now();

for (const [command, from] of [
  ['debootstrap', 'debootstrap'],
  ['dpkg-shlibdeps', 'dpkg-dev'],
  ['ip', 'iproute2'],
]) {
  try {
    execFileSync('sh', ['-c', `command -v ${command}`], {
      env: { PATH: `${process.env.PATH}:/usr/sbin:/sbin` },
    });
  } catch {
    process.stderr.write(`${command} is missing: apt-get install ${from}\n`);
    process.exit(2);
  }
}
if (process.getuid() !== 0) {
  process.stderr.write('this needs root: it makes a Debian of its own\n');
  process.exit(2);
}

function say(text) {
  const seconds = ((Date.now() - startedMs) / 1000).toFixed(0).padStart(4);
  process.stdout.write(`${seconds} s  ${text}\n`);
}

class Failed extends Error {}
const failures = [];
/** Says what was found; what does not hold is told at once and again at the end. */
function check(holds, text, more = '') {
  say(`${holds ? 'ok  ' : 'FAIL'} ${text}`);
  if (holds) return;
  failures.push(text);
  if (more !== '') process.stdout.write(`${more}\n`);
}

async function until(condition, what, more = () => '') {
  const endMs = Date.now() + 120_000;
  while (Date.now() < endMs) {
    if (await condition()) return;
    await new Promise(resolve => setTimeout(resolve, 500));
  }
  throw new Failed(`waited two minutes for ${what}\n${more()}`);
}

// ── the packages ────────────────────────────────────────────────────────────────────────────────────────────
const { version } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));
const nextVersion = version.replace(/\d+$/, patch => String(Number(patch) + 1));
const commit = execFileSync('git', ['rev-parse', 'HEAD'], { cwd: root, encoding: 'utf8' }).trim();
function build(of, into) {
  const built = () =>
    readdirSync(join(cache, into)).find(
      one => one.startsWith(`girthlog_${of.replace('-', '~')}_`) && one.endsWith('.deb'),
    );
  if (values.reuse) return join(cache, into, built());
  rmSync(join(cache, into), { recursive: true, force: true });
  const args = ['.config/package.mjs', '--version', of, '--into', join(cache, into), '--quick'];
  args.push(...(values.worktree ? ['--worktree'] : ['--commit', commit]));
  execFileSync(process.execPath, args, {
    cwd: root,
    stdio: ['ignore', 'ignore', 'inherit'],
  });
  return join(cache, into, built());
}
const sha256 = file => createHash('sha256').update(readFileSync(file)).digest('hex');
const first = build(version, 'first');
const again = build(version, 'again');
const next = build(nextVersion, 'next');
say(
  `built ${version} twice and ${nextVersion}, ${(statSync(first).size / 1e6).toFixed(0)} MB each (quickly compressed)`,
);
check(sha256(first) === sha256(again), 'two builds are the same bytes');

// ── the machine ─────────────────────────────────────────────────────────────────────────────────────────────
const machine = new Machine(folder);
process.on('exit', () => machine.kill());
for (const signal of ['SIGINT', 'SIGTERM']) process.on(signal, () => process.exit(1));
async function startMachine(options) {
  layMachine({ suite: values.suite, kept: join(cache, `debian-${values.suite}`), folder });
  cpSync(first, join(folder, 'root/girthlog.deb'));
  cpSync(next, join(folder, 'root/girthlog-next.deb'));
  await machine.start(options);
}

const must = (command, options) => {
  const result = machine.run(command, options);
  if (result.status !== 0)
    throw new Failed(`${command.join(' ')} ended with ${result.status}\n${result.stdout}${result.stderr}`);
  return result.stdout;
};
const sh = (script, options) => must(['sh', '-ec', script], options);
const owner = path => sh(`stat -c '%U:%G %a' ${path}`).trim();

/** What the unit says, with %i and %S filled in. */
function unit(name, instance = '') {
  const text = must(['cat', `/usr/lib/systemd/system/${name}`])
    .replaceAll('%i', instance)
    .replaceAll('%S', '/var/lib');
  const of = key => [...text.matchAll(new RegExp(`^${key}=(.*)$`, 'gm'))].map(([, value]) => value);
  return {
    command: of('ExecStart')[0].split(' '),
    user: of('User')[0],
    state: `/var/lib/${of('StateDirectory')[0]}`,
    env: Object.fromEntries(of('Environment').map(one => one.split(/=(.*)/s).slice(0, 2))),
  };
}
/** As systemd makes StateDirectory and starts ExecStart. */
function startUnit(name, instance) {
  const { command, user, state, env } = unit(name, instance);
  sh(`mkdir -p ${dirname(state)} && install -d -m 0700 -o ${user} -g ${user} ${state}`);
  return machine.spawn(['sh', '-c', 'umask 077; exec "$@"', 'sh', ...command], { user, env });
}

const NOBODY = { user: 'nobody', group: 'nogroup' };
const EDGE = { user: 'girthlog-edge' };
const TRUCK = { user: 'girthlog-dashboard' };
const EDGE_CONFIG = '/etc/girthlog/edge-rig-1.toml';
const TRUCK_CONFIG = '/etc/girthlog/dashboard.toml';
const TRUCK_STORE = '/var/lib/girthlog/dashboard/dashboard.sqlite3';
const STORE = '/var/lib/girthlog/edge/rig-1/edge.db';

const counts = () => ({
  edge: JSON.parse(must(['girthlog-edge', 'verify', '--config', EDGE_CONFIG, '--json'], EDGE)),
  truck: JSON.parse(must(['girthlog-dashboard', 'verify', '--config', TRUCK_CONFIG, '--json'], TRUCK)),
});
/** Status and beginning of what the page answers; over TLS without asking whose certificate it is. */
const fetchInside = (path, base = 'http://127.0.0.1:8080') =>
  machine.run(
    [
      '/usr/lib/girthlog/bin/node',
      '-e',
      `fetch('${base}${path}').then(async r => process.stdout.write(r.status + ' ' + (await r.text()).slice(0, 4000)), e => process.stdout.write(String(e.cause ?? e)))`,
    ],
    { env: { NODE_TLS_REJECT_UNAUTHORIZED: '0' } },
  ).stdout;
/** One value, by the SQLite of the package; with `writable` also a pragma that sets something. */
function query(file, statement, { user }, writable = false) {
  const script = `
    const Database = require('/usr/lib/girthlog/node_modules/better-sqlite3');
    const db = new Database('${file}', { readonly: ${!writable}, fileMustExist: true });
    const one = db.prepare('${statement}');
    process.stdout.write(JSON.stringify(one.reader ? one.pluck().get() : one.run().changes));
    db.close();`;
  return JSON.parse(must(['/usr/lib/girthlog/bin/node', '-e', script], { user }));
}
/** Runs truck, simulated device and edge until the truck has `more` records than before, then stops them. */
async function work(label, more = 8) {
  const seen = () => query(TRUCK_STORE, 'SELECT count(*) FROM records', TRUCK);
  const before = existsInside(TRUCK_STORE) ? seen() : 0;
  const truck = startUnit('girthlog-dashboard.service');
  await until(() => fetchInside('/readyz').startsWith('200'), 'the page', truck.said);
  const rig = machine.spawn(
    ['girthlog-simulator', 'run', '--rigs', '1', '--output', 'tcp://127.0.0.1:7001'],
    NOBODY,
  );
  const edge = startUnit('girthlog-edge@.service', 'rig-1');
  await until(
    () => seen() >= before + more,
    `${more} records`,
    () => `${truck.said()}${edge.said()}${rig.said()}`,
  );
  const page = fetchInside('/');
  const doctors = {
    edge: machine.run(['girthlog-edge', 'doctor', '--config', EDGE_CONFIG], EDGE),
    truck: machine.run(['girthlog-dashboard', 'doctor', '--config', TRUCK_CONFIG], TRUCK),
  };
  const ends = [await edge.stop(), await rig.stop(), await truck.stop()];
  check(
    ends[0] === 0 && ends[2] === 0,
    `${label}: edge and dashboard end with 0 when told to`,
    `${ends}\n${edge.said()}${truck.said()}`,
  );
  const { edge: edgeStore, truck: truckStore } = counts();
  check(
    edgeStore.fits && truckStore.fits,
    `${label}: everything fits: ${edgeStore.batches} batches at the rig, ${truckStore.checked.records} records in the truck`,
    JSON.stringify([edgeStore.problem, truckStore.problems]),
  );
  return { page, doctors, edge: edgeStore, truck: truckStore };
}
const existsInside = path => machine.run(['test', '-e', path]).status === 0;
const contents = path => sh(`find ${path} -type f | sort | xargs sha256sum`);

for (const part of [test, services]) {
  if (values.only !== undefined && values.only !== part.name) continue;
  try {
    await part();
  } catch (error) {
    if (!(error instanceof Failed)) throw error;
    check(false, error.message);
  }
  await machine.stop();
}
say(failures.length === 0 ? 'everything held' : `${failures.length} did not hold:\n${failures.join('\n')}`);
process.exitCode = failures.length === 0 ? 0 : 1;

/** The same package where systemd is the first process: enabled, supervised, upgraded while running, removed. */
async function services() {
  if (controlGroups() === null) {
    say('skipped: systemd cannot be started here, no control groups of the second version');
    return;
  }
  await startMachine({ systemd: true });
  await testServices({
    ...{ must, sh, run: (...of) => machine.run(...of), check, say, until, fetchInside, query, nextVersion },
    values: { EDGE, TRUCK, STORE, TRUCK_STORE, EDGE_CONFIG, TRUCK_CONFIG },
  });
}

async function test() {
  await startMachine();
  say(
    `a clean ${sh('. /etc/os-release; echo "$PRETTY_NAME"').trim()}, no network: ${sh('ls /sys/class/net 2>/dev/null || cat /proc/net/dev | tail -n +3 | cut -d: -f1').trim()}`,
  );

  // Installing.
  const installed = must(['dpkg', '-i', '/root/girthlog.deb']);
  check(
    /nothing runs before it is configured/.test(installed),
    'installs without a network, and says what to do next',
    installed,
  );
  check(sh('id -nG girthlog-edge').trim().split(' ').includes('dialout'), 'the edge’s user is in dialout');
  check(!sh('id -nG girthlog-dashboard').includes('dialout'), 'the dashboard’s is not');
  check(owner('/var/lib/girthlog') === 'root:root 755', 'records lie in /var/lib/girthlog');
  check(
    owner('/var/lib/girthlog/dashboard') === 'girthlog-dashboard:girthlog-dashboard 700',
    'the truck’s for its user alone',
  );
  check(
    sh(
      'find /usr/lib/girthlog /usr/bin/girthlog-* /etc/girthlog ! -user root -o -perm /022 ! -type l',
    ).trim() === '',
    'programs belong to root, and nobody else writes them',
  );
  check(must(['dpkg', '--verify', 'girthlog']).trim() === '', 'dpkg finds every file as it was packed');
  check(
    existsInside('/etc/systemd/system/multi-user.target.wants/girthlog-dashboard.service'),
    'the dashboard is enabled',
  );
  for (const program of ['edge', 'dashboard', 'simulator']) {
    const { status, stdout } = machine.run([`girthlog-${program}`, '--help'], NOBODY);
    check(status === 0 && stdout.includes('Examples'), `girthlog-${program} --help works for anyone`);
    check(
      existsInside(`/usr/share/man/man1/girthlog-${program}.1.gz`),
      `girthlog-${program} has a manual page`,
    );
  }
  for (const name of [
    'girthlog-dashboard.service',
    'girthlog-edge@rig-1.service',
    'girthlog-backup-check.service',
    'girthlog-backup-check.timer',
  ]) {
    const { status, stdout, stderr } = machine.run(['systemd-analyze', 'verify', '--man=no', name]);
    check(status === 0, `systemd-analyze verify ${name}`, stdout + stderr);
  }
  must(['dpkg', '-i', '/root/girthlog.deb']);
  check(must(['dpkg', '--verify', 'girthlog']).trim() === '', 'installed once more it is as before');
  const materials = JSON.parse(must(['cat', '/usr/share/doc/girthlog/sbom.cdx.json']));
  check(
    materials.components.some(({ name }) => name === 'node'),
    `the bill of materials names ${materials.components.length} parts, Node among them`,
  );

  // Configuring, as docs/install.md says.
  sh(`cd /etc/girthlog && cp dashboard.toml.example dashboard.toml && sed -e 's|^url = "serial.*|url = "tcp://127.0.0.1:7001"|' -e 's|"real"|"simulated"|' -e 's|^reference_radius_mm = 0 |reference_radius_mm = 325 |' edge-rig.toml.example > edge-rig-1.toml
    chown root:girthlog-edge edge-rig-1.toml && chown root:girthlog-dashboard dashboard.toml && chmod 0640 edge-rig-1.toml dashboard.toml`);
  const raw = machine.run(
    ['girthlog-edge', 'doctor', '--config', '/etc/girthlog/edge-rig.toml.example'],
    EDGE,
  );
  check(
    raw.status === 3 && /stop {2}configuration/.test(raw.stdout),
    'an example that was not filled in is refused by the doctor',
    raw.stdout + raw.stderr,
  );
  const ports = machine.run(['girthlog-edge', 'ports'], EDGE);
  check(
    ports.status === 4 && ports.stdout.includes('No serial device'),
    'ports says that there is none',
    ports.stdout + ports.stderr,
  );

  // Working.
  const one = await work('first run');
  check(/^200 .*<!doctype html/is.test(one.page), 'the page is served', one.page.slice(0, 300));
  for (const [name, { status, stdout, stderr }] of Object.entries(one.doctors)) {
    check(status === 0, `doctor of the ${name}, beside it running, as its user`, stdout + stderr);
    process.stdout.write(stdout.replaceAll(/^/gm, '          '));
    process.stdout.write('\n');
  }
  check(owner(STORE) === 'girthlog-edge:girthlog-edge 600', 'the edge’s store is its user’s alone');
  check(
    owner(`${STORE}.key`) === 'girthlog-edge:girthlog-edge 400',
    'its key can be read by that user alone',
  );
  check(machine.run(['cat', `${STORE}.key`], TRUCK).status !== 0, 'the dashboard’s user cannot read it');

  // Upgrading.
  must(['dpkg', '-i', '/root/girthlog-next.deb']);
  check(must(['girthlog-edge', '--version']).includes(nextVersion), `upgraded to ${nextVersion}`);
  check(owner(EDGE_CONFIG) === 'root:girthlog-edge 640', 'the configuration is as it was');
  const two = await work('after the upgrade');
  check(
    two.edge.stream === one.edge.stream && two.edge.batches > one.edge.batches,
    'the edge goes on with its stream',
  );
  check(two.truck.checked.records > one.truck.checked.records, 'no record of the truck was lost');
  check(
    /-> .*layout \d+/.test(sh('tail -n 1 /var/lib/girthlog/versions.log')),
    `noted: ${sh('tail -n 1 /var/lib/girthlog/versions.log').trim()}`,
  );

  // Going back: the same layout.
  must(['dpkg', '-i', '/root/girthlog.deb']);
  check(must(['girthlog-edge', '--version']).includes(version), `back at ${version}`);
  const three = await work('after going back');
  check(
    three.edge.stream === one.edge.stream && three.edge.batches > two.edge.batches,
    'on with the same stream',
  );

  // Going back: a layout that the older one does not know, as a later version would leave it.
  must(['dpkg', '-i', '/root/girthlog-next.deb']);
  const layouts = [
    query(STORE, 'PRAGMA user_version', EDGE),
    query(TRUCK_STORE, 'PRAGMA user_version', TRUCK),
  ];
  query(STORE, `PRAGMA user_version = ${layouts[0] + 1}`, EDGE, true);
  query(TRUCK_STORE, `PRAGMA user_version = ${layouts[1] + 1}`, TRUCK, true);
  const kept = contents('/var/lib/girthlog/edge /var/lib/girthlog/dashboard');
  const refused = machine.run(['dpkg', '-i', '/root/girthlog.deb']);
  check(
    refused.status !== 0 && /written by a newer Girthlog/.test(refused.stderr),
    'an older package refuses to take over a newer store',
    refused.stdout + refused.stderr,
  );
  check(must(['girthlog-edge', '--version']).includes(nextVersion), 'and the newer one stays installed');
  check(must(['dpkg', '--audit']).trim() === '', 'dpkg is at rest', must(['dpkg', '--audit']));
  sh('mkdir -p /opt/older && dpkg-deb -x /root/girthlog.deb /opt/older');
  const older = name => [
    '/opt/older/usr/lib/girthlog/bin/node',
    `/opt/older/usr/lib/girthlog/dist/girthlog-${name}.js`,
    'run',
    '--config',
  ];
  const edgeSays = machine.run([...older('edge'), EDGE_CONFIG], EDGE);
  check(
    edgeSays.status === 6 && /newer girthlog-edge/.test(edgeSays.stderr),
    `the older edge itself: ${edgeSays.stderr.trim().split('\n').at(-1)}`,
    edgeSays.stderr,
  );
  const truckSays = machine.run([...older('dashboard'), TRUCK_CONFIG], TRUCK);
  check(
    truckSays.status === 3,
    `the older dashboard itself: ${truckSays.stderr.trim().split('\n').at(-1)}`,
    truckSays.stderr,
  );
  check(contents('/var/lib/girthlog/edge /var/lib/girthlog/dashboard') === kept, 'neither changed a byte');
  // docs/install.md, going back: the newer stores are moved aside; the truck’s comes from before (here: is the same).
  sh(
    'cd /var/lib/girthlog/edge/rig-1 && mkdir newer && mv edge.db edge.db.head newer/ && rm -f edge.db-wal edge.db-shm',
  );
  query(TRUCK_STORE, `PRAGMA user_version = ${layouts[1]}`, TRUCK, true);
  must(['dpkg', '-i', '/root/girthlog.deb']);
  const four = await work('after going back over a layout');
  check(four.edge.stream !== one.edge.stream, 'the edge begins a stream of its own');
  check(four.edge.keys.join() === one.edge.keys.join(), 'and signs with the same key');
  check(
    four.truck.checked.streams === 2 && four.truck.checked.records > three.truck.checked.records,
    'the truck has both streams whole',
  );

  // Removing and purging.
  const records = contents('/var/lib/girthlog/edge /var/lib/girthlog/dashboard');
  must(['dpkg', '-r', 'girthlog']);
  check(!existsInside('/usr/lib/girthlog') && existsInside(TRUCK_CONFIG), 'removed; the configuration stays');
  check(contents('/var/lib/girthlog/edge /var/lib/girthlog/dashboard') === records, 'every record stays');
  sh('echo secret > /etc/girthlog/broker.password');
  const purged = must(['dpkg', '-P', 'girthlog']);
  check(!existsInside(TRUCK_CONFIG) && !existsInside(EDGE_CONFIG), 'purged; the configuration is gone');
  check(existsInside('/etc/girthlog/broker.password'), 'a file that somebody put beside it stays');
  check(
    /To delete them for good/.test(purged),
    'it says that the records stay, and how to delete them',
    purged,
  );
  check(
    contents('/var/lib/girthlog/edge /var/lib/girthlog/dashboard') === records,
    'every record still stays',
  );
  check(sh('find /etc/systemd -name "girthlog*"').trim() === '', 'no unit is left enabled');
  must(['dpkg', '-i', '/root/girthlog.deb']);
  const back = JSON.parse(
    must(['girthlog-dashboard', 'verify', '--data', '/var/lib/girthlog/dashboard', '--json'], TRUCK),
  );
  check(
    back.fits && back.checked.records === four.truck.checked.records,
    `installed again it reads all ${back.checked.records} records`,
  );
}

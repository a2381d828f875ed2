/** The second part of `npm run package:test`: the services under a systemd of their own. */
const EDGE_UNIT = 'girthlog-edge@rig-1';
const TRUCK_UNIT = 'girthlog-dashboard';
const PAGE = 'https://127.0.0.1:8443';
/** Short enough to wait for; the units say 60 s. */
const WATCHDOG = '/etc/systemd/system/girthlog-edge@.service.d/short.conf';

export async function testServices({
  must,
  sh,
  run,
  check,
  say,
  until,
  fetchInside,
  query,
  nextVersion,
  values,
}) {
  const { EDGE, TRUCK, STORE, TRUCK_STORE, EDGE_CONFIG, TRUCK_CONFIG } = values;
  const is = (unit, property) =>
    must(['systemctl', 'show', '--value', `--property=${property}`, unit]).trim();
  const log = unit => run(['journalctl', '--no-pager', '-n', '30', '-u', unit]).stdout;
  const records = () => query(TRUCK_STORE, 'SELECT count(*) FROM records', TRUCK);
  const batches = () => query(STORE, 'SELECT count(*) FROM batch', EDGE);
  const more = async (count, of = 5) => {
    const before = count();
    await until(
      () => count() >= before + of,
      'more of the record',
      () => log(EDGE_UNIT) + log(TRUCK_UNIT),
    );
  };

  await until(
    () => ['running', 'degraded'].includes(run(['systemctl', 'is-system-running']).stdout.trim()),
    'systemd to be up',
  );
  say(`a machine that systemd ${must(['systemctl', '--version']).split(' ')[1]} has started`);
  must(['dpkg', '-i', '/root/girthlog.deb']);
  check(
    is(TRUCK_UNIT, 'UnitFileState') === 'enabled' && is(TRUCK_UNIT, 'ActiveState') === 'inactive',
    'the dashboard is enabled and not started',
  );
  must(['systemctl', 'start', TRUCK_UNIT]);
  check(
    is(TRUCK_UNIT, 'ActiveState') === 'inactive' && is(TRUCK_UNIT, 'ConditionResult') === 'no',
    'without a configuration a start waits, and is no failure',
  );

  sh(`cd /etc/girthlog
    sed -e 's|^http = .*|http = "127.0.0.1:8443"|' -e 's|^mqtt = .*|mqtt = "127.0.0.1:8883"|' dashboard.toml.example > dashboard.toml
    printf 'tls = "on"\\nmachines = "enrolled"\\n' >> dashboard.toml
    sed -e 's|^url = "serial.*|url = "tcp://127.0.0.1:7001"|' -e 's|"real"|"simulated"|' -e 's|^reference_radius_mm = 0 |reference_radius_mm = 325 |' edge-rig.toml.example > edge-rig-1.toml
    chown root:girthlog-edge edge-rig-1.toml && chown root:girthlog-dashboard dashboard.toml && chmod 0640 *.toml
    mkdir -p ${WATCHDOG.replace(/\/[^/]*$/, '')} && printf '[Service]\\nWatchdogSec=6\\n' > ${WATCHDOG} && systemctl daemon-reload`);
  must([
    'systemd-run',
    '--unit=rig',
    '--property=Restart=always',
    '/usr/bin/girthlog-simulator',
    'run',
    '--rigs',
    '1',
    '--output',
    'tcp://127.0.0.1:7001',
  ]);
  const started = run(['systemctl', 'start', TRUCK_UNIT]);
  check(started.status === 0, 'systemctl start girthlog-dashboard: ready', started.stderr + log(TRUCK_UNIT));
  const { code, fingerprint } = JSON.parse(
    must(['girthlog-dashboard', 'enrol', 'spread-1/rig-1', '--config', TRUCK_CONFIG, '--json'], TRUCK),
  );
  const enrolled = run(
    [
      ...['girthlog-edge', 'enrol', '--config', EDGE_CONFIG, '--dashboard', PAGE],
      ...['--code', code, '--fingerprint', fingerprint],
    ],
    EDGE,
  );
  check(
    enrolled.status === 0,
    'the board is enrolled over TLS before its first start',
    enrolled.stdout + enrolled.stderr,
  );
  const enabled = run(['systemctl', 'enable', '--now', EDGE_UNIT]);
  check(
    enabled.status === 0,
    'systemctl enable --now girthlog-edge@rig-1: ready',
    enabled.stderr + log(EDGE_UNIT),
  );
  await until(() => run(['test', '-s', TRUCK_STORE]).status === 0, 'the store');
  await more(records);
  check(
    fetchInside('/', PAGE).startsWith('200'),
    'shut in as the units say, it records, delivers as its certificate lets it, and serves the page over TLS',
  );
  check(sh(`stat -c '%U %a' ${STORE}`).trim() === 'girthlog-edge 600', 'the store is the service’s own');
  for (const [name, config, user] of [
    ['edge', EDGE_CONFIG, EDGE],
    ['dashboard', TRUCK_CONFIG, TRUCK],
  ]) {
    const { status, stdout, stderr } = run([`girthlog-${name}`, 'doctor', '--config', config], user);
    check(
      status === 0 && /^ok +watchdog/m.test(stdout),
      `doctor of the ${name}: watched by systemd, nothing to be mended`,
      stdout + stderr,
    );
  }

  const killed = is(EDGE_UNIT, 'MainPID');
  must(['systemctl', 'kill', '--signal=KILL', EDGE_UNIT]);
  await until(
    () => is(EDGE_UNIT, 'ActiveState') === 'active' && is(EDGE_UNIT, 'MainPID') !== killed,
    'a new start',
  );
  await more(records);
  check(true, 'killed, the edge is started again and delivers');
  const hung = is(EDGE_UNIT, 'MainPID');
  must(['systemctl', 'kill', '--kill-whom=main', '--signal=STOP', EDGE_UNIT]);
  await until(
    () => is(EDGE_UNIT, 'ActiveState') === 'active' && !['0', hung].includes(is(EDGE_UNIT, 'MainPID')),
    'the watchdog',
    () => log(EDGE_UNIT),
  );
  await more(records);
  check(Number(is(EDGE_UNIT, 'NRestarts')) >= 2, 'hung, it is noticed by the watchdog and started again');

  const before = { records: records(), batches: batches() };
  must(['dpkg', '-i', '/root/girthlog-next.deb']);
  await until(
    () => [EDGE_UNIT, TRUCK_UNIT].every(unit => is(unit, 'ActiveState') === 'active'),
    'both services to run again',
    () => log(TRUCK_UNIT),
  );
  await more(records);
  check(
    records() > before.records && batches() > before.batches,
    `upgraded to ${nextVersion} while running: both services run again, no record is lost`,
  );
  const version = JSON.parse(must(['cat', '/usr/lib/girthlog/package.json'])).version;
  check(
    version === nextVersion && log(EDGE_UNIT).includes('stopping'),
    'the edge was told to stop, and committed its last batch',
  );

  const layout = query(STORE, 'PRAGMA user_version', EDGE);
  must(['systemctl', 'stop', EDGE_UNIT]);
  query(STORE, `PRAGMA user_version = ${layout + 1}`, EDGE, true);
  const refused = run(['dpkg', '-i', '/root/girthlog.deb']);
  check(refused.status !== 0, 'the older package refuses a newer store');
  await until(
    () => is(TRUCK_UNIT, 'ActiveState') === 'active',
    'the dashboard to run again',
    () => log(TRUCK_UNIT),
  );
  check(true, 'and what it had stopped runs again');
  query(STORE, `PRAGMA user_version = ${layout}`, EDGE, true);
  must(['dpkg', '-i', '/root/girthlog.deb']);
  must(['systemctl', 'start', EDGE_UNIT]);
  await more(records);
  check(true, 'back at the older version with the same layout it goes on');

  const kept = records();
  must(['systemctl', 'stop', 'rig']);
  must(['dpkg', '-r', 'girthlog']);
  check(
    sh('grep -l [/]usr/lib/girthlog/bin /proc/[0-9]*/cmdline || true').trim() === '' &&
      run(['systemctl', 'is-active', TRUCK_UNIT]).status !== 0,
    'removed: nothing of it runs any more',
  );
  must(['dpkg', '-i', '/root/girthlog.deb']);
  check(records() >= kept, `installed again: all ${kept} records are there`);
}

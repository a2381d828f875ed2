/** npm run soak -- --minutes 3 | --hours 24 [--rigs 16] [--speed 10] [--seed 1] [--fault-every SECONDS] */
import { spawnSync } from 'node:child_process';
import { parseArgs } from 'node:util';

const flags = ['minutes', 'hours', 'rigs', 'speed', 'seed', 'fault-every'];
let values;
try {
  ({ values } = parseArgs({ options: Object.fromEntries(flags.map(flag => [flag, { type: 'string' }])) }));
  for (const [flag, value] of Object.entries(values)) {
    if (!(Number(value) > 0)) throw new Error(`--${flag} ${value}: give a number above 0`);
  }
} catch (error) {
  process.stderr.write(
    `${error.message}\nnpm run soak -- --minutes 3 (flags: ${flags.map(flag => `--${flag}`).join(' ')})\n`,
  );
  process.exit(2);
}
const { hours, minutes, ...others } = values;
const env = {
  ...process.env,
  GIRTHLOG_SOAK_MINUTES: String(hours ? Number(hours) * 60 : Number(minutes ?? 3)),
};
for (const [flag, value] of Object.entries(others)) {
  env[`GIRTHLOG_SOAK_${flag.toUpperCase().replace('-', '_')}`] = value;
}
const vitest = ['vitest', 'run', '--config', '.config/vitest.config.ts', 'tests/faults/soak'];
const { status } = spawnSync('npx', vitest, { env, stdio: 'inherit' });
process.exit(status ?? 1);

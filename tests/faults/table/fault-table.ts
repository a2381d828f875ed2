/** What can break: docs/faults.md is printed from here, a test keeps the two together. */
import { CLOCK_ROWS } from './clock-rows.ts';
import { EDGE_ROWS } from './edge-rows.ts';
import { FLEET_ROWS } from './fleet-rows.ts';
import { TRUCK_ROWS } from './truck-rows.ts';

export const FAULT_TABLE = [...EDGE_ROWS, ...TRUCK_ROWS, ...CLOCK_ROWS, ...FLEET_ROWS];

const INTRODUCTION = `# What breaks, and what must hold

Every line of these tables is an automated test with real processes: \`girthlog-simulator\` is the rig,
\`girthlog-edge\` records it, \`girthlog-dashboard\` with its embedded broker, or a real Mosquitto, takes it over;
beyond one machine a broker cluster, ingest workers and PostgreSQL do. The simulator's truth file numbers every sample it made. After each fault the books are made up from the files of both
stores, sample by sample:

    produced = delivered + waiting + rejected + missing, and every missing run has its place

Nothing may be stored that was never sent, nothing twice, nothing out of order; the truck must hold only what the edge
holds, under the same hash. Times are not part of the rules: a slow machine makes a test slow, not red.

| Command | What runs | How long |
|---|---|---|
| \`npm test\` | every line once, with one seed | some minutes on two cores, beside the other tests of whole programs |
| \`npm run faults\` | every line with all its seeds | about an hour on two idle cores, reckoned from single runs |
| \`npm run soak -- --minutes 3\` | 16 rigs, many times real speed, random faults; ends with the books of all rigs | as asked (\`--hours N\`) |

The seed stands in the name of a test that has one: \`GIRTHLOG_FAULT_SEED=7 npm run faults\` begins with seed 7. Without a
system program its tests are skipped and say which is missing. File systems of their own need root and loop devices;
where a container refuses them, those tests are skipped and say so, with \`CI=true\` too.

Not covered by any of it: storage that lies about a flush, a power cut together with a medium that fails, samples that
are still in the device, a stolen board with its key.
`;

export function faultsDocument(): string {
  const lines = [INTRODUCTION];
  for (const [title, rows] of FAULT_TABLE) {
    lines.push(`## ${title}`, '');
    lines.push('| What breaks | How | What must hold | Volume: `npm test`; `npm run faults` | Tests |');
    lines.push('|---|---|---|---|---|');
    for (const row of rows) {
      const files = [...new Set(row.tests.map(([file]) => file))];
      const links = files.map(file => `[${file.split('/').at(-1)}](../${file})`).join(', ');
      const open = row.open === null ? '' : ` **Open:** ${row.open}`;
      const volume = row.tests.length === 0 ? '' : `${row.once}; ${row.all}`;
      lines.push(`| ${row.fault} | ${row.how} | ${row.holds}${open} | ${volume} | ${links || 'none yet'} |`);
    }
    lines.push('');
  }
  return `${lines.join('\n').trimEnd()}\n`;
}

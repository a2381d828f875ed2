/** npm run bench: the speed figures, each against a baseline of the same run. */
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { loadavg, tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Command, InvalidArgumentError } from 'commander';
import { benchmarks } from './benchmarks.ts';
import { type BenchContext, type Benchmark, type Figure, failed } from './harness/figure.ts';
import { documentText, tableText } from './harness/report.ts';
import { ROLES } from './roles/roles.ts';
import { isTrustWorker, runTrustWorker } from './trust/worker-pool.ts';

const DIST = dirname(fileURLToPath(import.meta.url));

/** The folder of package.json, above the built programs. */
function projectRoot(): string {
  for (let folder = DIST; ; folder = dirname(folder)) {
    if (existsSync(join(folder, 'package.json'))) return folder;
    if (folder === dirname(folder)) throw new Error(`no package.json above ${DIST}`);
  }
}

function listOfIds(text: string): string[] {
  const ids = text.split(',').map(id => id.trim());
  const known = benchmarks.map(({ id }) => id);
  const unknown = ids.find(id => !known.includes(id));
  if (unknown !== undefined) throw new InvalidArgumentError(`"${unknown}" is none of ${known.join(', ')}.`);
  return ids;
}

interface Asked {
  readonly only: readonly string[] | null;
  readonly except: readonly string[];
  readonly json: boolean;
  readonly full: boolean;
}

async function run({ only, except, json, full }: Asked): Promise<void> {
  const root = projectRoot();
  const isChosen = ({ id, fullOnly }: Benchmark): boolean =>
    (only === null ? full || !fullOnly : only.includes(id)) && !except.includes(id);
  const chosen = benchmarks.filter(isChosen);
  const scratch = mkdtempSync(join(tmpdir(), 'girthlog-bench-'));
  const context: BenchContext = { dist: DIST, baselines: join(root, 'tests/bench/baselines'), scratch, full };
  const started = performance.now();
  const figures: Figure[] = [];
  try {
    for (const [i, benchmark] of chosen.entries()) {
      const from = performance.now();
      process.stderr.write(`[${i + 1} of ${chosen.length}] ${benchmark.id} ${benchmark.title} … `);
      try {
        figures.push(...(await benchmark.run(context)));
      } catch (error) {
        figures.push(failed(benchmark, error));
        process.stderr.write(`failed: ${error instanceof Error ? error.message : error} … `);
        process.exitCode = 1;
      }
      process.stderr.write(`${((performance.now() - from) / 1000).toFixed(1)} s\n`);
    }
  } finally {
    rmSync(scratch, { recursive: true, force: true });
  }
  const facts = {
    date: new Date().toISOString().slice(0, 10),
    node: process.version,
    seconds: (performance.now() - started) / 1000,
    load: loadavg()[0]!,
  };
  process.stdout.write(json ? `${JSON.stringify({ ...facts, figures }, null, 2)}\n` : tableText(figures));
  if (only !== null) return;
  const document = join(root, 'docs/benchmarks.md');
  const text = documentText(
    facts,
    figures,
    chosen,
    benchmarks.filter(row => !chosen.includes(row)),
  );
  if (!existsSync(document) || readFileSync(document, 'utf8') !== text) writeFileSync(document, text);
  process.stderr.write(`written: ${document}\n`);
}

const role = ROLES[process.argv[2] ?? ''];
if (isTrustWorker()) runTrustWorker();
else if (role !== undefined) role();
else {
  const program = new Command('bench')
    .description('measures the speed figures against baselines; a whole run writes docs/benchmarks.md')
    .option('--only <ids>', 'some of them, such as G4,G7; docs/benchmarks.md is not written then', listOfIds)
    .option('--except <ids>', 'all but these, such as TRUST', listOfIds)
    .option(
      '--full',
      'every figure, also those that need an outside program or take long; without it under ten minutes',
    )
    .option('--json', 'one JSON document on stdout instead of the table')
    .exitOverride(({ exitCode }) => process.exit(exitCode === 0 ? 0 : 2));
  program.parse();
  const { only = null, except = [], json = false, full = false } = program.opts<Partial<Asked>>();
  await run({ only, except, json, full });
}

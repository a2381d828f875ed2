/** npm run fuzz: spoilt input at everything that takes input, counted; exit 1 with what did not hold. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Command, InvalidArgumentError } from 'commander';
import { type FuzzOutcome, MOST_GROWTH_BYTES, runTarget } from './run-target.ts';
import { innerTargets, programTargets } from './targets.ts';

const targets = [...innerTargets, ...programTargets];

const number = (text: string): number => {
  const value = Number(text);
  if (!(value >= 0)) throw new InvalidArgumentError('a number, 0 or more.');
  return value;
};

interface Flags {
  readonly share: number;
  readonly seed: number;
  readonly only?: string;
  readonly case?: number;
}

const print = (line: string): void => void process.stdout.write(`${line}\n`);

function tell({ counts, findings, tried, cases, heapGrowthBytes, slowestMs, seconds }: FuzzOutcome): void {
  print(
    `  ${tried} ${cases} in ${seconds.toFixed(1)} s, the slowest ${slowestMs.toFixed(0)} ms, heap ${(heapGrowthBytes / 1e6).toFixed(1)} MB more`,
  );
  for (const [name, count] of Object.entries(counts).sort(([, a], [, b]) => b - a)) {
    print(`  ${String(count).padStart(9)}  ${name}`);
  }
  for (const { case: n, error } of findings) print(`  FOUND in case ${n}: ${error}`);
}

async function run({ share, seed, only, case: one }: Flags): Promise<void> {
  const scratch = mkdtempSync(join(tmpdir(), 'girthlog-fuzz-'));
  let wrong = 0;
  let tried = 0;
  try {
    for (const target of targets.filter(({ name }) => only === undefined || name.includes(only))) {
      print(`${target.name} (seed ${seed})`);
      const count = Math.ceil(target.wholeRun * share);
      const outcome = await runTarget(target, { scratch, seed, count, only: one });
      tell(outcome);
      tried += outcome.tried;
      if (outcome.findings.length > 0 || outcome.heapGrowthBytes > MOST_GROWTH_BYTES) wrong++;
    }
  } finally {
    rmSync(scratch, { recursive: true, force: true });
  }
  print(`${tried} cases; ${wrong === 0 ? 'everything held' : `${wrong} targets did not hold`}.`);
  if (wrong > 0) process.exitCode = 1;
}

await new Command('fuzz')
  .option('--share <part>', 'of the whole counts', number, 1)
  .option('--seed <n>', 'another seed, other cases', number, Date.now() % 2 ** 32)
  .option('--only <words>', 'targets whose name holds these words')
  .option('--case <n>', 'one case alone: with seed and target it is the same again', number)
  .action(run)
  .parseAsync();

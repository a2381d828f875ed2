import { defineConfig } from 'vitest/config';
import { LongestFirst } from './longest-first.ts';

/** Contracts that a real server has to fulfil, too. */
const OF_SERVERS = [
  'tests/contracts/samples/influx-samples.test.ts',
  'tests/contracts/record-store/postgres-record-store.test.ts',
];

export default defineConfig({
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  test: {
    reporters: process.env['CI'] ? ['default', ['json', { outputFile: '.cache/tests.json' }]] : ['default'],
    sequence: { sequencer: LongestFirst },
    setupFiles: ['.config/fixed-seed.ts'],
    // Tests, and the programs they start, are not where the machine is.
    env: { TZ: 'UTC' },
    // Only for what hangs: no test is about how long it takes.
    testTimeout: 120_000,
    hookTimeout: 120_000,
    onConsoleLog(log: string): void {
      throw new Error(`a stray console output in a test: ${log}`);
    },
    projects: [
      {
        extends: true,
        test: {
          name: 'fast',
          sequence: { groupOrder: 0 },
          maxWorkers: 2,
          // Nothing here keeps anything between tests, and loading all of it for each file takes as long as they do.
          isolate: false,
          include: ['tests/{unit,property,contracts,architecture}/**/*.test.{ts,tsx}'],
          exclude: OF_SERVERS,
        },
      },
      {
        extends: true,
        test: {
          name: 'whole',
          sequence: { groupOrder: 1 },
          include: ['tests/{integration,e2e,attacks,faults,golden,fuzz}/**/*.test.{ts,tsx}', ...OF_SERVERS],
          // Real programs, brokers and browsers: some compute while others wait for a clock of a program. One worker
          // more than the two cores of CI, and what a worker has loaded, its Chromium too, serves all its files.
          maxWorkers: 3,
          isolate: false,
          // A loaded CI machine may starve a real process: once more before it counts. Locally never.
          retry: process.env['CI'] ? 1 : 0,
        },
      },
    ],
  },
});

import { defineConfig } from 'vitest/config';

/** Contracts that a real server has to fulfil, too. */
const OF_SERVERS = [
  'tests/contracts/samples/influx-samples.test.ts',
  'tests/contracts/record-store/postgres-record-store.test.ts',
];

export default defineConfig({
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  test: {
    reporters: process.env['CI'] ? ['default', ['json', { outputFile: '.cache/tests.json' }]] : ['default'],
    setupFiles: ['.config/fixed-seed.ts'],
    // Tests, and the programs they start, are not where the machine is.
    env: { TZ: 'UTC' },
    testTimeout: 30_000,
    hookTimeout: 60_000,
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
          include: [
            'tests/{unit,property,contracts,golden,architecture}/**/*.test.{ts,tsx}',
            'tests/fuzz/inner.test.ts',
          ],
          exclude: OF_SERVERS,
        },
      },
      {
        extends: true,
        test: {
          name: 'whole',
          sequence: { groupOrder: 1 },
          include: [
            'tests/{integration,e2e,attacks}/**/*.test.{ts,tsx}',
            'tests/fuzz/programs.test.ts',
            ...OF_SERVERS,
          ],
          // Real brokers, ports and browsers: two cores carry a few at a time.
          maxWorkers: 2,
          testTimeout: 120_000,
          // A loaded CI machine may starve a real process: once more before it counts. Locally never.
          retry: process.env['CI'] ? 1 : 0,
        },
      },
      {
        extends: true,
        test: {
          name: 'faults',
          sequence: { groupOrder: 2 },
          include: ['tests/faults/**/*.test.ts'],
          maxWorkers: 2,
          testTimeout: 120_000,
          retry: process.env['CI'] ? 1 : 0,
        },
      },
    ],
  },
});

import { BaseSequencer, type TestSpecification } from 'vitest/node';

/**
 * Files that take long, those that wait among those that compute: one that is begun last would end alone. The order of the
 * others matters little.
 */
const LONGEST = [
  'integration/training',
  'e2e/training',
  'faults/delivery',
  'integration/export-program',
  'faults/damage',
  'e2e/spanish',
  'faults/refusing-broker',
  'faults/lost-truck',
  'e2e/verify-screens',
  'faults/storage',
  'e2e/sums',
  'faults/trucks',
  'e2e/accounts',
  'faults/clocks',
  'integration/edge-doctor',
  'faults/fleet',
  'e2e/verify-travel',
  'faults/kills',
  'e2e/screen-tasks',
  'faults/line',
  'integration/demo',
  'faults/soak/soak',
  'e2e/review',
  'integration/backup-program',
  'fuzz/inner',
  'fuzz/programs',
  'property/outbox',
  'contracts/http-exports',
  'contracts/http-exports-day',
  'property/drift-engine',
  'property/pass-match',
  'unit/server/joint-report',
  'contracts/backup',
  'unit/pass/wrong-pass-simulated',
];

/** How far ahead a file is begun; those that are not named follow. */
function placeOf({ moduleId }: TestSpecification): number {
  const place = LONGEST.findIndex(name => moduleId.endsWith(`tests/${name}.test.ts`));
  return place === -1 ? LONGEST.length : place;
}

export class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    return (await super.sort(files)).toSorted((one, other) => placeOf(one) - placeOf(other));
  }
}

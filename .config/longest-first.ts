import { BaseSequencer, type TestSpecification } from 'vitest/node';

/** Files that take long, longest first: one that is begun last would end alone. The order of the others matters little. */
const LONGEST = [
  'faults/delivery',
  'faults/damage',
  'faults/kills',
  'faults/storage',
  'faults/trucks',
  'faults/line',
  'faults/refusing-broker',
  'integration/training',
  'e2e/spanish',
  'e2e/screen-tasks',
  'faults/fleet',
  'faults/lost-truck',
  'faults/soak/soak',
  'integration/export-program',
  'integration/demo',
  'integration/backup-program',
  'fuzz/programs',
  'property/outbox',
  'contracts/http-exports',
  'contracts/http-exports-day',
  'contracts/replay',
  'golden/simulator/simulator-bytes',
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

/** Faults of clocks. */
import type { FaultSection } from './fault-row.ts';

const CLOCKS = 'tests/faults/clocks.test.ts';

export const CLOCK_ROWS: readonly FaultSection[] = [
  [
    'Clocks',
    [
      {
        fault: 'The wall clock is set in the middle of a pass',
        how: 'libfaketime: an hour ahead, a day back, 1970, right again',
        holds: 'Every sample keeps its time to the microsecond; each step on record',
        tests: [[CLOCKS, 'is set an hour ahead, a day back and to 1970 in the middle of a pass']],
        once: '4 steps',
        all: '4 steps',
        open: null,
      },
      {
        fault: 'No time at boot, the right time later',
        how: 'libfaketime: 1970, then now',
        holds: 'No hole; the map of later batches dates the earlier samples',
        tests: [[CLOCKS, 'is not set at boot and is later']],
        once: 'once',
        all: 'once',
        open: null,
      },
      {
        fault: 'The clock is behind what is stored',
        how: 'libfaketime: a day back before a start',
        holds: 'Record time goes on after the newest sample',
        tests: [[CLOCKS, 'is behind what is stored already: record time goes on after the newest sample']],
        once: 'once',
        all: 'once',
        open: null,
      },
    ],
  ],
];

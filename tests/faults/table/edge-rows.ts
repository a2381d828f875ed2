/** Faults of the edge, its storage, its device. */
import type { FaultSection } from './fault-row.ts';

const KILLS = 'tests/faults/kills.test.ts';
const STORAGE = 'tests/faults/storage.test.ts';
const DAMAGE = 'tests/faults/damage.test.ts';
const LINE = 'tests/faults/line.test.ts';
const SERIAL = 'tests/integration/serial-source.test.ts';

export const EDGE_ROWS: readonly FaultSection[] = [
  [
    'The edge itself',
    [
      {
        fault: 'The edge is killed',
        how: 'SIGKILL after a random number of samples',
        holds:
          'What was shown as stored is stored; chain whole; nothing missing but what came while no edge ran',
        tests: [[KILLS, 'at any moment: nothing that was shown as stored is lost']],
        once: '5 kills',
        all: '100 kills',
        open: null,
      },
      {
        fault: 'It is killed while it starts, again and again',
        how: '20 starts, each killed at a random moment',
        holds: 'No lock is left, no number used twice, the next start records',
        tests: [[KILLS, 'again and again while it starts: no lock and no number is left behind']],
        once: '20 kills',
        all: '100 kills',
        open: 'the pauses between starts are the supervisor’s; those of `npm start` are tested with the demo.',
      },
      {
        fault: 'The power is cut',
        how: 'ext4 of its own, shut down through the file system’s ioctl (what is only in memory is lost), mounted again',
        holds:
          'What was shown as stored is on the disk; what the truck took over, the edge still has; no number gets a second content',
        tests: [
          [
            KILLS,
            'under the edge: what was shown as stored is on the disk, and no number gets a second content',
          ],
        ],
        once: '3 cuts',
        all: '51 cuts',
        open: null,
      },
      {
        fault: 'SIGTERM',
        how: 'as systemd stops it, also while the broker hangs',
        holds: 'Last batch committed, `stopped` published, end within 5 s',
        tests: [
          [
            'tests/integration/edge.test.ts',
            'stops within 5 s, its last batch kept, also when the broker hangs',
          ],
          [
            'tests/integration/edge.test.ts',
            'leaves its last will when it is killed and says goodbye when it is stopped',
          ],
          [
            'tests/integration/dashboard-program.test.ts',
            'prints exactly one JSON line when ready, ends cleanly, and goes on with its data',
          ],
        ],
        once: 'once',
        all: 'once',
        open: null,
      },
    ],
  ],
  [
    'Its storage',
    [
      {
        fault: 'A slow card that stalls',
        how: 'a library before libc: each sync 30 ms, every 15th 3 s',
        holds: 'No sample lost; the lag is shown and alarmed',
        tests: [[STORAGE, 'that is slow and stalls for seconds: no sample is lost, and the lag is shown']],
        once: '5 s at 100 Hz',
        all: '120 s at 100 Hz',
        open: null,
      },
      {
        fault: 'Writes fail for lack of room',
        how: 'the same library: ENOSPC for a while',
        holds: 'Tried again, alarmed; nothing lost while memory lasts (30 s)',
        tests: [
          [
            STORAGE,
            'that takes nothing for a while: it is tried again, an alarm says so, and nothing stored is lost',
          ],
        ],
        once: 'once',
        all: 'once',
        open: null,
      },
      {
        fault: 'A write or a sync fails',
        how: 'the same library: EIO',
        holds: 'The edge ends with 75; the next goes on and uses no number twice',
        tests: [[STORAGE, 'that fails in a write or a sync: the edge ends with 75']],
        once: '2 failures',
        all: '20 failures',
        open: null,
      },
      {
        fault: 'The disk fills up',
        how: 'a file system of 24 MiB and a file that takes the rest',
        holds: 'Tried again until there is room, alarmed; integrity kept; nothing stored is lost',
        tests: [
          [
            STORAGE,
            'fills up by other files: recording is tried again until there is room, nothing stored is lost',
          ],
        ],
        once: 'once',
        all: 'once',
        open: null,
      },
      {
        fault: 'The disk fills up with what the edge itself keeps',
        how: 'file systems in memory that are filled',
        holds:
          'Told before it costs data; the oldest samples that every store has give way first, then what waits is thinned; events, passes, seals never',
        tests: [
          [
            'tests/integration/edge-full-disk.test.ts',
            'goes on recording: the oldest samples give way, nothing else is lost, nothing is changed',
          ],
          [
            'tests/integration/edge-full-disk.test.ts',
            'where nothing can give way has the ballast to write on, then says it is full',
          ],
          [
            'tests/integration/edge-full-disk.test.ts',
            'says so before it costs data, thins what waits, and delivers what is left',
          ],
        ],
        once: 'once',
        all: 'once',
        open: null,
      },
      {
        fault: 'The disk turns read-only',
        how: 'remounted read-only',
        holds: 'The edge says so in one sentence and ends with 6; writable again, it goes on',
        tests: [[STORAGE, 'turns read-only, as ext4 does after an error']],
        once: 'once',
        all: 'once',
        open: null,
      },
      {
        fault: 'One bit flips in the store',
        how: 'a random bit of a copy, then a start',
        holds: 'No changed batch is taken for a true one: the file is moved aside, and the batch named',
        tests: [[DAMAGE, 'in the file of the edge: no changed batch is taken for a true one']],
        once: '12 flips',
        all: '400 flips',
        open: null,
      },
      {
        fault: 'One bit flips in the write-ahead log',
        how: 'a random bit after a kill, then a start',
        holds:
          'SQLite drops what follows the flip: the head kept beside the store shows it at the next start, the store is moved aside whole and a new stream begins; no number is given twice',
        tests: [[DAMAGE, 'in the write-ahead log after a kill']],
        once: '1 flip',
        all: '10 flips',
        open: 'what the store held for the truck and had not delivered stays in the file that was moved aside.',
      },
      {
        fault: 'The store is mistreated',
        how: 'cut short, emptied, replaced by text; its write-ahead log zeroed, deleted, another store’s; -shm deleted',
        holds: 'It starts by itself in every case: as it was, or moved aside with a new stream',
        tests: [
          [
            DAMAGE,
            'starts by itself in every case: as it was, or moved aside with a new stream in its place',
          ],
          ['tests/integration/edge-faults.test.ts', 'a damaged store is moved aside by itself'],
          ['tests/integration/edge-faults.test.ts', 'a batch that rots while the edge runs is never sent'],
        ],
        once: '8 cases',
        all: '8 cases',
        open: null,
      },
    ],
  ],
  [
    'Device and line',
    [
      {
        fault: 'The cable is pulled and plugged in again',
        how: 'the pseudo-terminal goes and comes back under the same name',
        holds: 'Each time a hole with its cause; no two halves of a frame become one',
        tests: [
          [LINE, 'is pulled out and plugged in'],
          [SERIAL, 'notices a pulled cable at once and logs again within 1 s of its return'],
        ],
        once: '4 times',
        all: '50 times',
        open: null,
      },
      {
        fault: 'The device falls silent',
        how: 'SIGSTOP of the simulator',
        holds: 'Shown as NO DATA; when it speaks again, the same run with a gap',
        tests: [
          [LINE, 'falls silent: that is shown'],
          [SERIAL, 'opens the line again after 3 s of silence'],
        ],
        once: 'once',
        all: 'once',
        open: null,
      },
      {
        fault: 'The device restarts, its counters begin again',
        how: 'another simulator in its place, start count 2',
        holds: 'A restart on record, not a huge gap',
        tests: [[LINE, 'restarts with its counters at the beginning']],
        once: 'once',
        all: 'once',
        open: null,
      },
      {
        fault: 'Frames are lost, repeated, swapped',
        how: 'the line drops, doubles and swaps whole frames at random',
        holds: 'Every one counted; missing samples exactly those',
        tests: [[LINE, 'loses, repeats and swaps frames: every one of them is counted']],
        once: '1 seed',
        all: '5 seeds',
        open: null,
      },
      {
        fault: 'Another program has the port',
        how: 'it holds the lock of the port',
        holds: 'The sentence names what to do; taken within 1 s when it is free',
        tests: [[SERIAL, 'says which program to close, and takes the port within 1 s when it is free']],
        once: 'once',
        all: 'once',
        open: null,
      },
    ],
  ],
];

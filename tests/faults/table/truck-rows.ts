/** Faults of brokers, trucks, and networks. */
import type { FaultSection } from './fault-row.ts';

const DELIVERY = 'tests/faults/delivery.test.ts';
const REFUSING = 'tests/faults/refusing-broker.test.ts';
const TRUCKS = 'tests/faults/trucks.test.ts';
const BACKLOG = 'tests/faults/backlog.test.ts';
const CERTIFICATES = 'tests/faults/certificates.test.ts';
const SOAK = 'tests/faults/soak/soak.test.ts';

export const TRUCK_ROWS: readonly FaultSection[] = [
  [
    'Broker, truck and network',
    [
      {
        fault: 'The broker is killed in mid-stream',
        how: 'SIGKILL, embedded and Mosquitto (which comes back empty)',
        holds: 'Nothing lost, nothing twice',
        tests: [[DELIVERY, 'is killed five times in mid-stream: nothing is lost, nothing comes twice']],
        once: '5 kills each',
        all: '50 kills each',
        open: null,
      },
      {
        fault: 'The truck is killed, also between commit and acknowledgement',
        how: 'SIGKILL at random under ten commits a second, started again at once on its port',
        holds: 'Nothing lost, nothing twice; the same address again',
        tests: [[DELIVERY, 'is killed again and again, also between its commit and its acknowledgement']],
        once: '5 kills',
        all: '100 kills',
        open: null,
      },
      {
        fault: 'Edge, broker and truck die at random',
        how: 'SIGKILL of one of the three, down for a random time',
        holds: 'The books balance',
        tests: [
          [DELIVERY, 'die at random, the broker inside the truck: the books balance'],
          [DELIVERY, 'die at random, the broker by itself: the books balance'],
        ],
        once: '8 kills each',
        all: '400 kills',
        open: null,
      },
      {
        fault: 'The broker hangs',
        how: 'SIGSTOP of Mosquitto',
        holds: 'Recording goes on; the edge gives the connection up and connects anew',
        tests: [
          [DELIVERY, 'hangs and answers nobody: recording goes on, the edge notices and connects anew'],
        ],
        once: 'once',
        all: 'once',
        open: null,
      },
      {
        fault: 'The network is slow, thin, cut, or half open',
        how: 'a proxy between edge and broker',
        holds: 'Nothing lost, nothing twice; a dead connection is given up',
        tests: [[DELIVERY, 'is cut, frozen half open, slow and thin in turn']],
        once: '1 seed',
        all: '10 seeds',
        open: null,
      },
      {
        fault: 'The broker confirms and does not deliver',
        how: 'Mosquitto: rights, size limit, full queue, death after its word, not there',
        holds:
          'Nothing is released; after 10 s the alarm that data waits; everything comes when the cause is gone',
        tests: [
          [REFUSING, 'because its rights forbid it'],
          [REFUSING, 'because its limit of size is too small'],
          [REFUSING, 'because the truck does not read and its queue is full'],
          [REFUSING, 'because it dies after its confirmation, or is not there at all'],
        ],
        once: '5 ways',
        all: '5 ways',
        open: null,
      },
      {
        fault: 'Acknowledgements that are stale, forged, from the future, of another stream',
        how: 'published by hand',
        holds: 'The cursor stays, each is counted and on record',
        tests: [
          [
            'tests/integration/edge.test.ts',
            'ignores forged, future, stale, foreign and unlisted acknowledgements, and counts them',
          ],
        ],
        once: 'once',
        all: 'once',
        open: null,
      },
      {
        fault: 'Records come twice and out of order',
        how: 'published by hand, to both brokers',
        holds:
          'Acknowledged is what is committed without a hole; a second content of one number is kept and raised by name',
        tests: [
          [
            'tests/integration/dashboard-ingest.test.ts',
            'acknowledges what is committed without a hole, whatever the order and however often it comes',
          ],
          [
            'tests/integration/dashboard-ingest.test.ts',
            'keeps a second record of one number, raises it by name, and never acknowledges past a hole',
          ],
        ],
        once: 'once',
        all: 'once',
        open: null,
      },
      {
        fault: 'Two trucks are required and one is away',
        how: 'SIGKILL of one, started again later',
        holds: 'Released is only what both have; both end with everything',
        tests: [[TRUCKS, 'that are both required each get everything, also when one of them was away']],
        once: 'once',
        all: 'once',
        open: null,
      },
      {
        fault: 'The store of a truck is lost, or restored from a copy',
        how: 'its folder removed, or put back as it was; also while the rig is silent',
        holds: 'The edge sends everything after what is there again, without a person',
        tests: [
          ['tests/faults/lost-truck.test.ts', 'that was lost has everything again, from the first batch on'],
          ['tests/faults/lost-truck.test.ts', 'that was restored from a copy has everything since'],
          ['tests/faults/lost-truck.test.ts', 'that was lost while the rig is silent is filled all the same'],
        ],
        once: 'once each',
        all: 'once each',
        open: null,
      },
      {
        fault: 'Slow screens, fifty screens, half requests',
        how: '50 readers of the live stream, 10 that never read, 200 requests without an end',
        holds: 'Recording has no hole; half requests are dropped',
        tests: [[TRUCKS, 'fifty that watch, some that never read and two hundred half requests']],
        once: 'once',
        all: 'once',
        open: null,
      },
      {
        fault: 'A program holds a read transaction on the stores',
        how: 'another process’s transaction on both files',
        holds: 'Recording and delivery go on; above 32 MB the log is said to be large',
        tests: [
          [TRUCKS, 'holds up neither recording nor delivery'],
          [
            'tests/contracts/store/store-health.test.ts',
            'a reader that stays keeps the log from being cut: said above 32 MB, and cut when it lets go',
          ],
        ],
        once: 'once',
        all: 'once',
        open: null,
      },
      {
        fault: 'The broker process runs out of memory',
        how: 'prlimit takes the memory away, retained messages ask for it',
        holds: 'Started again on its port; recording and delivery go on',
        tests: [
          [TRUCKS, 'runs out of memory: it is started again on its port, recording and delivery go on'],
          [
            'tests/integration/dashboard-broker.test.ts',
            'is not grown by sockets that announce huge packets, and goes on serving',
          ],
        ],
        once: 'once',
        all: 'once',
        open: null,
      },
      {
        fault: 'Hours without a network',
        how: 'an edge’s store filled with one-second batches, then the truck appears',
        holds:
          'All of it taken over in order and once, the screens live meanwhile; with all its volume also: twenty times real time, 95 % of the live values within 0.5 s',
        tests: [[BACKLOG, 'of hours drains in order and once, while the screens see the rig live']],
        once: '10 minutes of it',
        all: '8 hours of it',
        open: null,
      },
      {
        fault: 'Certificates expired, for another host, revoked',
        how: 'a real certificate authority and Mosquitto with TLS',
        holds: 'The edge says why it does not connect, records on, and delivers when they are good',
        tests: [
          [
            CERTIFICATES,
            'of a broker expired or for another host, of a device revoked: recording goes on, the reason is told, nothing is lost',
          ],
        ],
        once: '3 kinds',
        all: '3 kinds',
        open: 'bad certificates at the dashboard’s own connection to a broker (good ones: tests/integration/machines.test.ts).',
      },
      {
        fault: 'The truck’s store is damaged',
        how: 'flipped bits, files cut short, emptied, overwritten, a log of another store',
        holds:
          'Found, moved aside by itself, told on every screen, filled up again from the edges; what people entered stays',
        tests: [
          [
            'tests/integration/dashboard-damage.test.ts',
            'ends with 75, moves the store aside at the next start, says so, and fills up from the edge',
          ],
          [
            'tests/contracts/store/store-damage.test.ts',
            'is found by any flipped bit that changes a record, and by none that changes nothing',
          ],
          [
            'tests/contracts/store/store-damage.test.ts',
            'is moved aside whole when it was cut short, emptied or overwritten',
          ],
        ],
        once: 'once',
        all: 'once',
        open: null,
      },
      {
        fault: 'Records are tampered with',
        how: 'SQL on the file: edited, deleted, put in, swapped, cut off, replayed, sealed anew by another key, hashes made anew',
        holds:
          '`girthlog-dashboard verify` ends with 8 and names the first record, seal or entry that does not fit',
        tests: [
          ['tests/contracts/verify-stream.test.ts', 'where %s is named'],
          ['tests/contracts/verify-stream.test.ts', 'shows any bit that is turned in any record'],
          ['tests/contracts/verify-journal.test.ts', 'where %s is named'],
          [
            'tests/integration/verify-program.test.ts',
            'of a store that fits ends with 0, of one that does not with 8 and the sentence',
          ],
        ],
        once: 'every kind',
        all: 'every kind',
        open: null,
      },
      {
        fault: 'A store of an older or a newer version',
        how: 'files of every layout that was ever released',
        holds:
          'Older: brought up in a transaction, a copy kept, a failing step changes nothing. Newer: refused in one sentence, left alone',
        tests: [
          [
            'tests/contracts/store/store-layouts.test.ts',
            'layout %i: every row is kept, its copy too, and the work goes on',
          ],
          [
            'tests/contracts/store/store-layouts.test.ts',
            'stays as it was when a step fails, says so in one sentence, and is brought up when it can',
          ],
          ['tests/contracts/outbox.test.ts', 'of a newer layout is refused and left alone'],
        ],
        once: 'every layout',
        all: 'every layout',
        open: null,
      },
      {
        fault: 'Everything at once, for long',
        how: 'rigs at ten times real speed; edges, broker and truck killed and halted at random',
        holds: 'The books of every rig balance; memory, open files and logs stay bounded',
        tests: [[SOAK, 'of many rigs with random faults: the books of every rig balance']],
        once: '4 rigs, 20 s',
        all: '`npm run soak`: 16 rigs, as long as asked',
        open: null,
      },
      {
        fault: 'InfluxDB is away, or refuses a point',
        how: 'influxd killed; a point of another type',
        holds: 'The projection catches up; the bad point is kept aside and counted',
        tests: [['tests/integration/influx-projection.test.ts', '']],
        once: 'once',
        all: 'once',
        open: null,
      },
    ],
  ],
];

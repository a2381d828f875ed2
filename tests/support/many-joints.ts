/** A store with many joints, written record by record as they would come: what lists and searches are tried on. Invented. */

import type { SqliteStore } from '../../dashboard/server/store/sqlite-store.ts';
import type { VerifiedRecord } from '../../dashboard/server/store/store.ts';
import { START_MS, seal, testBody, testDeviation, testPass } from './test-records.ts';

/** Sides of passes a joint has here: one layer each side. */
const PASSES_A_JOINT = 2;
const JOINTS_A_RECORD = 3;
const JOINT_EVERY_MS = 8 * 60_000;

export const manyJoint = (i: number): string => `L-${String(i + 1).padStart(5, '0')}`;

/** `count` joints from `START_MS` on, one every eight minutes, over four rigs; every seventh has a deviation. */
export function fillWithJoints(store: SqliteStore, count: number): void {
  const rigs = ['rig-1', 'rig-2', 'rig-3', 'rig-4'];
  const at = new Date(START_MS).toISOString();
  const open = rigs.map((rig, i) => ({
    rig,
    stream: String(i + 1)
      .repeat(32)
      .slice(0, 32),
    seq: 0,
    prev: '',
  }));
  for (const { rig } of open) store.ensureRig({ site: 'spread-1', rig }, at, 16);
  let batch: VerifiedRecord[] = [];
  const flush = (): void => {
    if (batch.length > 0) store.commitRecords(batch, at);
    batch = [];
  };
  for (let from = 0; from < count; from += JOINTS_A_RECORD) {
    const lane = open[(from / JOINTS_A_RECORD) % open.length]!;
    const passes = Array.from(
      { length: Math.min(JOINTS_A_RECORD, count - from) },
      (_, k) => from + k,
    ).flatMap(i =>
      (['A', 'B'] as const).map((side, n) => {
        const startMs = START_MS + i * JOINT_EVERY_MS + n * 60_000;
        const index = i * PASSES_A_JOINT + n + 1;
        const plain = testPass(index);
        return testPass(index, {
          ...{
            rig: lane.rig,
            stream: lane.stream,
            passId: `${lane.stream}:${index}`,
            joint: manyJoint(i),
            side,
          },
          ...{ startUs: startMs * 1000, endUs: (startMs + 50_000) * 1000 },
          ...{ startUtc: new Date(startMs).toISOString(), endUtc: new Date(startMs + 50_000).toISOString() },
          pass: { ...plain.pass, procedurePass: 'root' },
          deviations: i % 7 === 0 && side === 'B' ? [testDeviation(5)] : [],
        });
      }),
    );
    const text = JSON.stringify(testBody({ rig: lane.rig, passes }));
    lane.seq++;
    const message = seal(text, lane.seq, lane.prev === '' ? undefined : lane.prev, lane.stream);
    lane.prev = message.hash;
    batch.push({
      ...{ site: 'spread-1', rig: lane.rig, message, body: testBody({ rig: lane.rig, passes }) },
      ...{ samples: null, unreadable: null },
    });
    if (batch.length >= 200) flush();
  }
  flush();
}

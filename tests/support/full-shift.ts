/** A store with one full shift: every rig welds one side of one pass of every joint, then moves on. Invented. */
import { DEFAULT_DRIFT_SETTINGS } from '#core/drift/drift-settings';
import type { Origin } from '#core/messages/common';
import type { PassDrift } from '#core/messages/drift';
import type { PassMessage } from '#core/messages/pass';
import { type Procedure, procedureSchema } from '#core/procedure/procedure';
import type { SqliteStore } from '../../dashboard/server/store/sqlite-store.ts';
import type { VerifiedRecord } from '../../dashboard/server/store/store.ts';
import { EXAMPLE_PROCEDURE, START_MS, seal, sha256, testBody, testPass } from './test-records.ts';

const CHANNELS = ['weldingCurrent', 'arcVoltage', 'wireFeedSpeed', 'travelSpeed'] as const;
const SITE = 'spread-1';

/** As large as a pass that is followed along its length has it. */
const FOLLOWED: PassDrift = {
  settings: DEFAULT_DRIFT_SETTINGS,
  baselines: [
    {
      source: 'rig',
      passes: 20,
      windows: 700,
      clockZone: null,
      channels: [...CHANNELS],
      mean: [236.01234567, 24.01234567, 171.1234567, 7.51234567],
      standardDeviation: [4.123456789, 0.123456789, 1.123456789, 0.0123456789],
      windowDeviation: [4.123456789, 0.123456789, 1.123456789, 0.0123456789],
      passDeviation: [2.123456789, 0.0523456789, 0.523456789, 0.00623456789],
      correlation: [0.123456789, 0.123456789, 0.123456789, 0.123456789],
      covariance: Array.from({ length: 16 }, (_, i) => 17.00123456789 / (i + 1)),
    },
  ],
  windows: [
    {
      clockZone: null,
      windows: 37,
      channels: [...CHANNELS],
      mean: [236.01234567, 24.01234567, 171.1234567, 7.51234567],
      coMoment: Array.from({ length: 16 }, (_, i) => 617.00123456789 / (i + 1)),
      pairs: 36,
      lagCoMoment: [60.123456789, 0.0123456789, 6.123456789, 0.00123456789],
    },
  ],
  calls: [],
  callsCut: 0,
  notJudged: ['drifting', 'projected', 'pattern'].map(rule => ({
    rule: rule as 'drifting',
    quantity: null,
    text: 'fewer than eight good passes of this kind are known of this rig: the first pass teaches it',
  })),
  passEndMm: 950,
  teaches: { good: true, why: null },
};

/** Half of `rigs` layers, each welded on both sides. */
export function shiftProcedure(rigs: number): Procedure {
  const [root] = EXAMPLE_PROCEDURE.passes;
  return procedureSchema.parse({
    ...EXAMPLE_PROCEDURE,
    passes: Array.from({ length: rigs / 2 }, (_, i) => ({ ...root, name: `pass ${i + 1}` })),
  });
}

export interface FullShift {
  readonly rigs: number;
  readonly joints: number;
  /** The last so many joints lack their last pass. */
  readonly incomplete: number;
  readonly origin?: Origin;
}

/** From 08:00 on; a rig begins a joint every five minutes at most, so that all are done before 06:00. */
export function fillWithShift(
  store: SqliteStore,
  { rigs, joints, incomplete, origin = 'simulated' }: FullShift,
): void {
  const at = new Date(START_MS).toISOString();
  const procedure = shiftProcedure(rigs);
  store.addProcedure(procedure, at, 'p-1');
  const everyMs = Math.min(300_000, Math.floor((21 * 3_600_000) / (joints + rigs)));
  for (let r = 0; r < rigs; r++) {
    const rig = `rig-${String(r + 1).padStart(2, '0')}`;
    const stream = sha256(rig).slice(0, 32);
    store.ensureRig({ site: SITE, rig }, at, rigs);
    store.setRigOrigin({ site: SITE, rig }, origin);
    const layer = Math.floor(r / 2);
    const isLast = layer === rigs / 2 - 1;
    const passes = Array.from({ length: isLast ? joints - incomplete : joints }, (_, j): PassMessage => {
      const startMs = START_MS + (j + layer) * everyMs;
      const plain = testPass(j + 1);
      return {
        ...plain,
        origin,
        rig,
        stream,
        passId: `${stream}:${j + 1}`,
        joint: `J-${String(j + 1).padStart(4, '0')}`,
        side: r % 2 === 0 ? 'A' : 'B',
        startUs: startMs * 1000,
        endUs: (startMs + 120_000) * 1000,
        startUtc: new Date(startMs).toISOString(),
        endUtc: new Date(startMs + 120_000).toISOString(),
        pass: {
          ...plain.pass,
          procedurePass: procedure.passes[layer]!.name,
          arcTimeS: 115,
          wireUsedM: 19.7,
          wireUsedKg: 0.1215,
          gasUsedL: 28.75,
          drift: FOLLOWED,
        },
      };
    });
    let prev: string | undefined;
    const records = passes.map((message, i): VerifiedRecord => {
      const body = testBody({ rig, origin, passes: [message] });
      const record = seal(JSON.stringify(body), i + 1, prev, stream, origin);
      prev = record.hash;
      return { site: SITE, rig, message: record, body, samples: null, unreadable: null };
    });
    store.commitRecords(records, at);
  }
}

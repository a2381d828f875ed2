/** A joint with one long pass, recorded as an edge records it, in a dashboard's store. */
import { mkdirSync } from 'node:fs';
import Sqlite from 'better-sqlite3';
import type { EngineAssignment } from '#core/pass/engine-api';
import { procedureSchema } from '#core/procedure/procedure';
import type { SampleChunk } from '#core/sample/chunk';
import { verifyRecord } from '../../../dashboard/server/ingest/verify-record.ts';
import { SqliteStore } from '../../../dashboard/server/store/sqlite-store.ts';
import { recordedPass } from '../../support/recorded-pass.ts';
import { EXAMPLE_PROCEDURE, START_MS } from '../../support/test-records.ts';
import { seededRandom } from './weld-signal.ts';

export interface LongJoint {
  readonly joint: string;
  readonly rig: string;
  readonly passS: number;
  readonly rateHz: number;
}

const SITE = 'spread-1';
/** Under half the way round a 610 mm pipe, whatever time it takes. */
const WELD_MM = 900;

/** An arc without a break, four channels with noise, two seconds without it at the end. */
export function longPass({ passS, rateHz }: Pick<LongJoint, 'passS' | 'rateHz'>): SampleChunk {
  const random = seededRandom(7);
  const n = (passS + 2) * rateHz;
  const tUs = Float64Array.from({ length: n }, (_, i) => START_MS * 1000 + (i * 1e6) / rateHz);
  const lit = (value: number, spread: number) =>
    Float64Array.from({ length: n }, (_, i) =>
      i < passS * rateHz ? Math.round(1000 * (value + spread * (random() - 0.5))) / 1000 : 0,
    );
  return {
    n,
    tUs,
    lengthUs: null,
    columns: {
      weldingCurrent: lit(236, 20),
      arcVoltage: lit(24, 2),
      wireFeedSpeed: lit(171, 2),
      travelSpeed: lit(WELD_MM / passS, 0.02),
    },
  };
}

export function openStore(data: string): SqliteStore {
  mkdirSync(data, { recursive: true });
  const store = new SqliteStore({ directory: data, sqlite: Sqlite, report: () => {}, now: () => new Date() });
  store.open();
  return store;
}

export function addLongJoint(store: SqliteStore, long: LongJoint, samples: SampleChunk): void {
  const at = new Date(START_MS).toISOString();
  const address = { site: SITE, rig: long.rig };
  const procedure = procedureSchema.parse(EXAMPLE_PROCEDURE);
  store.addProcedure(procedure, at, 'bench');
  store.ensureRig(address, at, 16);
  store.setRigOrigin(address, 'simulated');
  const work = {
    ...{ joint: long.joint, side: 'B' as const, pass: 'fill 1', outsideDiameterMm: 610, startDegrees: 0 },
    ...{ procedureId: procedure.id, procedureRevision: procedure.revision },
  };
  const id = `bench-${long.joint}`;
  store.addAssignment({ ...address, id, at, author: 'bench', work });
  const assignment: EngineAssignment = { id, ...work, procedure };
  const stream = Buffer.from(long.joint).toString('hex').padEnd(32, '0');
  const samplePeriodS = 1 / long.rateHz;
  const { records } = recordedPass({ assignment, chunk: samples, stream, samplePeriodS, ...address });
  const verified = records.map(message => {
    const read = verifyRecord(address, message);
    if (!read.ok) throw new Error(`a record made here is refused: ${read.event}`);
    if (read.record.unreadable !== null) throw new Error(read.record.unreadable);
    return read.record;
  });
  for (let from = 0; from < verified.length; from += 100) {
    store.commitRecords(verified.slice(from, from + 100), at);
  }
}

/** A dashboard with one joint welded by the simulator: root, and fill 1 with an excursion of the current. */
import { join, resolve } from 'node:path';
import Sqlite from 'better-sqlite3';
import { infoSchema } from '#core/messages/info';
import type { PassMessage } from '#core/messages/pass';
import { concatChunks, type SampleChunk } from '#core/sample/chunk';
import { RigInfoFile } from '../../dashboard/server/export/rig-info-file.ts';
import { verifyRecord } from '../../dashboard/server/ingest/verify-record.ts';
import { SqliteStore } from '../../dashboard/server/store/sqlite-store.ts';
import { recordedEvents } from './recorded-events.ts';
import { recordedStream } from './recorded-stream.ts';
import { BAND_RADIUS_MM, exampleProcedure, setPointOf, simulatedPass } from './simulated-pass.ts';
import { tempDir } from './temp-dir.ts';
import type { TestDashboard } from './test-dashboard.ts';
import { START_MS } from './test-records.ts';

export const WELDED_STREAM = '00000000000000000000000000000e02';
export const EXAMPLE = exampleProcedure(resolve(import.meta.dirname, '../..'));
const RIG = { site: 'spread-1', rig: 'rig-a' };

export function weldedInfo(rig: string) {
  return {
    origin: 'simulated',
    at: new Date(START_MS).toISOString(),
    site: RIG.site,
    rig,
    stream: WELDED_STREAM,
    software: 'test',
    source: { url: 'file:///x', format: 'text' },
    samplePeriodS: 0.02,
    channels: [],
    referenceRadiusMm: BAND_RADIUS_MM,
    voltageTapPoint: 'tip',
    requiredStores: ['truck'],
  };
}

interface WeldedOptions {
  readonly rig?: string;
  readonly stream?: string;
  readonly startMs?: number;
  readonly lengthMm?: number;
}

/** Asked the same it is the same joint: welded once, and read by every test that wants it. */
const made = new Map<string, ReturnType<typeof weld>>();

/** Records of the joint, and what stands behind them in a store. */
export function weldedJoint(joint: string, options: WeldedOptions = {}): ReturnType<typeof weld> {
  const key = JSON.stringify([joint, options]);
  const welded = made.get(key) ?? weld(joint, options);
  made.set(key, welded);
  return welded;
}

function weld(joint: string, options: WeldedOptions) {
  const { rig = RIG.rig, stream = WELDED_STREAM, startMs = START_MS, lengthMm = 80 } = options;
  const root = later(simulatedPass(setPointOf('root'), { seed: 1, lengthMm }), startMs * 1000 + 3);
  const fillFromUs = root.tUs[root.n - 1]! + 60_000_000;
  const fill = later(simulatedPass(setPointOf('fill 1'), { seed: 2, lengthMm }), fillFromUs);
  const middle = Math.round(fill.n / 2);
  const hot: SampleChunk = {
    ...fill,
    columns: {
      ...fill.columns,
      weldingCurrent: fill.columns.weldingCurrent!.map((amps, i) =>
        i > middle && i < middle + 200 ? amps * 1.25 : amps,
      ),
    },
  };
  const workOf = (pass: string) => ({
    joint,
    side: 'B' as const,
    pass,
    procedureId: EXAMPLE.id,
    procedureRevision: EXAMPLE.revision,
    outsideDiameterMm: 610,
    startDegrees: 0,
  });
  const assignments = ['root', 'fill 1'].map((pass, i) => ({ id: `${stream}-${i}`, work: workOf(pass) }));
  const { messages, records } = recordedStream({
    chunk: concatChunks([root, hot]),
    stream,
    rig,
    settings: { referenceRadiusMm: BAND_RADIUS_MM, samplePeriodS: 0.02 },
    acts: assignments.map(({ id, work }, i) => ({
      atUs: i === 0 ? 0 : fillFromUs,
      act: engine => engine.assign({ id, ...work, procedure: EXAMPLE }),
    })),
  });
  return { messages, records, assignments, rig };
}

/** The joint in a dashboard's store, as edges would have brought it there. */
export async function addWelded(
  dashboard: TestDashboard,
  joint: string,
  options: WeldedOptions = {},
): Promise<PassMessage[]> {
  const { messages, records, assignments, rig } = weldedJoint(joint, options);
  const { store } = dashboard;
  const at = new Date(START_MS).toISOString();
  store.addProcedure(EXAMPLE, at, 'p-1');
  dashboard.receive(`girthlog/1/${RIG.site}/${rig}/info`, weldedInfo(rig));
  for (const { id, work } of assignments) store.addAssignment({ ...RIG, rig, id, at, author: 'p-1', work });
  for (const record of records) dashboard.receive(`girthlog/1/${RIG.site}/${rig}/record`, record);
  await dashboard.settle();
  return messages;
}

const later = (chunk: SampleChunk, byUs: number): SampleChunk => ({
  ...chunk,
  tUs: chunk.tUs.map(tUs => tUs + byUs),
});

/** A store's directory with these joints in it, as a dashboard that has ended left it. */
export function weldedStore(joints: readonly { joint: string; options: WeldedOptions }[]): string {
  const directory = join(tempDir(), 'data');
  const at = new Date(START_MS).toISOString();
  const store = new SqliteStore({
    directory,
    sqlite: Sqlite,
    report: recordedEvents().report,
    now: () => new Date(START_MS),
  });
  store.open();
  store.addProcedure(EXAMPLE, at, 'p-1');
  const infos = new RigInfoFile(directory);
  for (const { joint, options } of joints) {
    const { records, assignments, rig } = weldedJoint(joint, options);
    const address = { ...RIG, rig };
    for (const { id, work } of assignments) store.addAssignment({ ...address, id, at, author: 'p-1', work });
    store.ensureRig(address, at, 10);
    store.setRigOrigin(address, 'simulated');
    const verified = records.map(record => {
      const result = verifyRecord(address, record);
      if (!result.ok) throw new Error(result.event);
      return result.record;
    });
    store.commitRecords(verified, at);
    const info = infoSchema.parse(weldedInfo(rig));
    const unknown = { status: null, health: null, live: null, alarms: null, assignment: null };
    infos.rig({ ...address, place: 0, info, ...unknown });
  }
  store.close();
  return directory;
}

/**
 * Round trip: what a dashboard exports of a recorded pass, read by replay, is the pass as it was recorded. Passes of the
 * simulator with invented faults, through the real store and over HTTP.
 */
import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { describe, expect, test } from 'vitest';
import type { Pass, PassMessage } from '#core/messages/pass';
import type { EngineSettings } from '#core/pass/engine-api';
import type { Procedure } from '#core/procedure/procedure';
import { concatChunks, type SampleChunk, sliceChunk } from '#core/sample/chunk';
import { columnMapSchema } from '../../edge/replay/column-map.ts';
import { readRecording } from '../../edge/replay/recording-reader.ts';
import { replayRecording, settingsOf } from '../../edge/replay/replay.ts';
import { recordedStream } from '../support/recorded-stream.ts';
import { BAND_RADIUS_MM, exampleProcedure, setPointOf, simulatedPass } from '../support/simulated-pass.ts';
import { startTestDashboard } from '../support/test-dashboard.ts';
import { START_MS } from '../support/test-records.ts';

const folder = mkdtempSync(join(tmpdir(), 'girthlog-export-'));
const RIG = { site: 'spread-1', rig: 'rig-a' };
const STREAM = '00000000000000000000000000000e01';
const example = exampleProcedure(resolve(import.meta.dirname, '../..'));
/** Limits that differ by the clock, which only hold where the replayed weld lies where it lay. */
const byClock: Procedure = {
  ...example,
  passes: example.passes.map(pass => ({
    ...pass,
    limits: [
      ...pass.limits,
      {
        quantity: 'weldingCurrent',
        unit: 'A',
        basis: 'window',
        min: 10,
        max: 100,
        clockZone: { from: 0.4, to: 1 },
      },
    ],
  })),
};
/** Not on any grid of the engine. */
const FIRST_US = START_MS * 1000 + 17_003;
const UNCERTAIN = { current: 0.015, voltage: 0.01, wireFeed: 0.02, travel: 0.02 };

function later(chunk: SampleChunk, byUs: number): SampleChunk {
  return { ...chunk, tUs: chunk.tUs.map(tUs => tUs + byUs) };
}

const weld = (pass: string, seed: number, lengthMm: number, fromUs: number): SampleChunk =>
  later(simulatedPass(setPointOf(pass), { seed, lengthMm }), fromUs);

const endUs = ({ tUs, n }: SampleChunk): number => tUs[n - 1]!;

function changed(chunk: SampleChunk, change: (amps: number, i: number) => number): SampleChunk {
  return {
    ...chunk,
    columns: { ...chunk.columns, weldingCurrent: chunk.columns.weldingCurrent!.map(change) },
  };
}

interface Recorded {
  readonly chunk: SampleChunk;
  readonly settings?: Partial<EngineSettings>;
  readonly work: string | null;
  readonly procedure?: Procedure;
  /** Other work that is assigned while the arc burns: its pass, and from when. */
  readonly afterwards?: readonly { readonly atUs: number; readonly id: string; readonly pass: string }[];
  readonly periodS?: number | null;
}

/** Records it, asks the dashboard for samples and map of each pass, and replays them. */
async function roundTrip(
  recorded: Recorded,
): Promise<{ message: PassMessage; replayed: Pass[]; csv: string }[]> {
  const { chunk, settings = {}, work, procedure = example, afterwards = [], periodS = 0.02 } = recorded;
  const workOf = (pass: string) => ({
    joint: 'J-0042',
    side: 'B' as const,
    pass,
    procedureId: procedure.id,
    procedureRevision: procedure.revision,
    outsideDiameterMm: 610,
    startDegrees: 0,
  });
  const assigned = [
    ...(work === null ? [] : [{ atUs: chunk.tUs[0]!, id: 'work-1', pass: work }]),
    ...afterwards,
  ];
  const { messages, records } = recordedStream({
    chunk,
    stream: STREAM,
    settings: { referenceRadiusMm: BAND_RADIUS_MM, samplePeriodS: periodS, ...settings },
    acts: assigned.map(({ atUs, id, pass }) => ({
      atUs,
      act: engine => engine.assign({ id, ...workOf(pass), procedure }),
    })),
  });
  const dashboard = await startTestDashboard();
  const { store } = dashboard;
  const at = new Date(START_MS).toISOString();
  store.addProcedure(procedure, at, 'p-1');
  dashboard.receive('girthlog/1/spread-1/rig-a/info', {
    origin: 'simulated',
    at,
    ...RIG,
    stream: STREAM,
    software: 'test',
    source: { url: 'file:///x', format: 'text' },
    samplePeriodS: periodS,
    channels: [],
    referenceRadiusMm: settings.referenceRadiusMm === undefined ? BAND_RADIUS_MM : settings.referenceRadiusMm,
    voltageTapPoint: 'tip',
    requiredStores: ['truck'],
  });
  for (const [id, pass] of new Map(assigned.map(one => [one.id, one.pass]))) {
    store.addAssignment({ ...RIG, id, at, author: 'p-1', work: workOf(pass) });
  }
  for (const record of records) dashboard.receive('girthlog/1/spread-1/rig-a/record', record);
  await dashboard.settle();
  expect(messages.length).toBeGreaterThan(0);
  const trips = [];
  for (const message of messages) {
    const path = `/api/v1/passes/${message.passId}`;
    const csv = await (await dashboard.get(`${path}/samples.csv?zone=Asia/Kathmandu`)).text();
    const map = columnMapSchema.parse(await (await dashboard.get(`${path}/replay-map.json`)).json());
    const file = join(folder, `${message.pass.index}.csv`);
    writeFileSync(file, csv);
    const recording = await readRecording(file, map);
    expect(recording.rejected).toBe(0);
    const { assignment } = map;
    const document = replayRecording({
      file,
      recording,
      procedure: assignment ? procedure : null,
      passName: assignment?.pass ?? null,
      settings: settingsOf(map),
      assignment,
    });
    trips.push({ message, replayed: [...document.passes], csv });
  }
  return trips;
}

const NUMBERS = [
  'arcTimeS',
  'elapsedS',
  'unobservedS',
  'standingArcS',
  'standingArcKj',
  'meanCurrentA',
  'meanVoltageV',
  'meanWireFeedMmS',
  'meanTravelMmS',
  'runOutLengthMm',
  'arcEnergyKj',
  'meanProductKj',
  'arcEnergyKjMm',
  'heatInputKjMm',
  'wireUsedM',
  'wireUsedKg',
] as const satisfies readonly (keyof Pass)[];

/** Numbers to what floating point makes of another order of summing; everything else exactly. */
function expectSame(replayed: readonly Pass[], message: PassMessage): void {
  expect(replayed).toHaveLength(1);
  const [again] = replayed;
  const { pass } = message;
  const close = (value: number | null, as: number | null, what: string): void => {
    if (as === null) expect(value, what).toBeNull();
    else expect(Math.abs(value! - as), `${what}: ${value} for ${as}`).toBeLessThan(1e-9 * (1 + Math.abs(as)));
  };
  for (const name of NUMBERS) close(again![name], pass[name], name);
  expect(again).toMatchObject({
    procedurePass: pass.procedurePass,
    restarts: pass.restarts,
    extinctions: pass.extinctions,
    energyBasis: pass.energyBasis,
    thermalEfficiency: pass.thermalEfficiency,
  });
  expect(again!.stops).toHaveLength(pass.stops.length);
  expect(again!.verdicts.map(({ quantity, basis, state }) => [quantity, basis, state])).toEqual(
    pass.verdicts.map(({ quantity, basis, state }) => [quantity, basis, state]),
  );
  pass.verdicts.forEach((verdict, i) => {
    const other = again!.verdicts[i]!;
    for (const name of ['value', 'outLengthMm', 'longestRunMm', 'expandedUncertainty'] as const) {
      close(other[name], verdict[name], `${verdict.quantity} ${name}`);
    }
  });
}

describe('an exported pass, replayed, is the pass that was recorded', () => {
  test('frames with their own length, travel read at the band, verdicts with their uncertainty', async () => {
    const chunk = weld('root', 3, 160, FIRST_US);
    const [trip] = await roundTrip({ chunk, work: 'root', settings: { uncertainty: UNCERTAIN } });
    const { message, replayed } = trip!;
    expect(message.pass.verdicts.length).toBeGreaterThan(3);
    expect(message.pass.verdicts.some(({ expandedUncertainty }) => expandedUncertainty !== null)).toBe(true);
    // 610 mm pipe, band at 325 mm: travel at the weld is 305/325 of what is reported.
    expect(message.pass.runOutLengthMm).toBeGreaterThan(100);
    expectSame(replayed, message);
  });

  test('out of a limit, over a gap and a held run, with a stop of 40 s', async () => {
    const one = weld('fill 1', 4, 150, FIRST_US);
    const two = weld('fill 1', 5, 150, endUs(one) + 40_000_000);
    const atFirst = Math.round(one.n / 2);
    const excursion = changed(one, (amps, i) => (i > atFirst && i < atFirst + 200 ? amps * 1.25 : amps));
    const withGap = concatChunks([
      sliceChunk(excursion, 0, atFirst - 300),
      sliceChunk(excursion, atFirst - 260, one.n),
    ]);
    const held = Math.round(two.n / 2);
    const repeat = (column: Float64Array): Float64Array =>
      column.map((value, i) => (i >= held && i < held + 80 ? column[held]! : value));
    const withHeld: SampleChunk = {
      ...two,
      columns: {
        ...two.columns,
        weldingCurrent: repeat(two.columns.weldingCurrent!),
        arcVoltage: repeat(two.columns.arcVoltage!),
      },
    };
    const [trip, ...more] = await roundTrip({ chunk: concatChunks([withGap, withHeld]), work: 'fill 1' });
    expect(more).toEqual([]);
    const { message, replayed, csv } = trip!;
    expect(message.pass.restarts).toBe(1);
    expect(message.pass.unobservedS).toBeGreaterThan(2);
    expect(message.deviations.length).toBeGreaterThan(0);
    expectSame(replayed, message);
    const quality = csv.split('\r\n').map(line => line.split(',')[5]);
    expect(quality.filter(one => one === 'held')).toHaveLength(80);
    expect(quality.filter(one => one === 'gap_before')).toHaveLength(2);
  });

  test('limits by the clock, and other work assigned while the arc burns: cut, gone on with elsewhere, and back', async () => {
    const chunk = weld('fill 1', 6, 200, FIRST_US);
    const at = (share: number): number => chunk.tUs[Math.round(chunk.n * share)]!;
    const trips = await roundTrip({
      chunk,
      work: 'fill 1',
      procedure: byClock,
      afterwards: [
        { atUs: at(0.4), id: 'work-2', pass: 'cap' },
        { atUs: at(0.6), id: 'work-1', pass: 'fill 1' },
      ],
    });
    expect(trips.map(({ message }) => message.pass.continues)).toEqual([null, null, 1]);
    // The zone begins at 64 mm: the first stretch ends there, the third lies in it.
    const out = trips.map(({ message: { pass } }) =>
      pass.verdicts.some(
        ({ quantity, max, state }) => quantity === 'weldingCurrent' && max === 100 && state === 'out',
      ),
    );
    expect(out[2]).toBe(true);
    for (const { message, replayed } of trips) expectSame(replayed, message);
  });

  test('a source that counts lengths and gives no speed, rows that hold until the next', async () => {
    const { columns, n, tUs } = weld('fill 1', 7, 150, FIRST_US);
    const count = (speed: Float64Array): Float64Array => {
      let mm = 0;
      return speed.map(value => {
        mm += value * 0.02;
        // Steps of half a millimetre.
        return Math.floor(mm * 2) / 2;
      });
    };
    const { weldingCurrent, arcVoltage, wireFeedSpeed, travelSpeed } = columns;
    const chunk: SampleChunk = {
      n,
      tUs,
      lengthUs: null,
      columns: {
        weldingCurrent: weldingCurrent!,
        arcVoltage: arcVoltage!,
        wireLength: count(wireFeedSpeed!),
        travelDistance: count(travelSpeed!),
      },
    };
    const [trip] = await roundTrip({ chunk, work: 'fill 1' });
    expect(trip!.csv.split('\r\n')[0]).toContain('travel_distance_weld_mm');
    expectSame(trip!.replayed, trip!.message);
  });

  test('nothing assigned, and no radius said', async () => {
    const chunk = weld('cap', 8, 120, FIRST_US);
    const [trip] = await roundTrip({ chunk, work: null, settings: { referenceRadiusMm: null } });
    expect(trip!.message.pass.procedurePass).toBeNull();
    expectSame(trip!.replayed, trip!.message);
  });
});

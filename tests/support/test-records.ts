/** Invented records of an edge, chained and hashed as docs say; for tests of what receives them. */
import { createHash } from 'node:crypto';
import type { Origin } from '#core/messages/common';
import type { RigEvent } from '#core/messages/event';
import type { PassMessage } from '#core/messages/pass';
import type { RecordBody, RecordMessage } from '#core/messages/record';
import { CHAIN_START, recordHashInput } from '#core/record/chain';
import { toBase64 } from '#core/sample/base64';
import type { SampleChunk } from '#core/sample/chunk';
import { encodeChunk } from '#core/sample/codec';

export const START_MS = Date.UTC(2026, 4, 12, 8, 0, 0);
export const STREAM = '0123456789abcdef0123456789abcdef';
export const OTHER_STREAM = 'fedcba9876543210fedcba9876543210';

export function sha256(text: string): string {
  return createHash('sha256').update(text, 'utf8').digest('hex');
}

/** Seals any body text as record `seq` after the one hashed `prev`. */
export function seal(
  body: string,
  seq: number,
  prev: string = CHAIN_START,
  stream: string = STREAM,
  origin: Origin = 'simulated',
): RecordMessage {
  const hash = sha256(recordHashInput({ prev, stream, seq, body }));
  return { origin, stream, seq, prev, hash, historical: false, body };
}

/** `n` samples at `rateHz` of current and voltage; `amps` gives the current at sample i. */
export function testChunk(
  firstUs: number,
  n = 100,
  rateHz = 100,
  amps: (i: number) => number = i => 200 + (i % 7),
): SampleChunk {
  const tUs = Float64Array.from({ length: n }, (_, i) => firstUs + Math.round((i * 1e6) / rateHz));
  return {
    n,
    tUs,
    lengthUs: null,
    columns: {
      weldingCurrent: Float64Array.from({ length: n }, (_, i) => amps(i)),
      arcVoltage: Float64Array.from({ length: n }, (_, i) => 24 + (i % 3) * 0.01),
    },
  };
}

export interface BodyParts {
  site?: string;
  rig?: string;
  origin?: Origin;
  chunk?: SampleChunk | null;
  events?: RigEvent[];
  passes?: PassMessage[];
  utcMinusRecordMs?: number;
}

export function testBody(parts: BodyParts = {}): RecordBody {
  const {
    site = 'spread-1',
    rig = 'rig-a',
    origin = 'simulated',
    chunk = null,
    events = [],
    passes = [],
  } = parts;
  return {
    schema: 'girthlog.record/1',
    origin,
    site,
    rig,
    at: new Date(START_MS).toISOString(),
    clock: { state: 'synced', offsetMs: null },
    utcMinusRecordMs: parts.utcMinusRecordMs ?? 0,
    samples: chunk && {
      n: chunk.n,
      firstUs: chunk.tUs[0]!,
      lastUs: chunk.tUs[chunk.n - 1]!,
      channels: ['weldingCurrent', 'arcVoltage'],
      data: toBase64(encodeChunk(chunk)),
    },
    events,
    passes,
  };
}

/** A chain of `count` records from seq 1, one second of samples each, from START_MS on. */
export function testChain(count: number, parts: BodyParts = {}, stream: string = STREAM): RecordMessage[] {
  const records: RecordMessage[] = [];
  let prev = CHAIN_START;
  for (let seq = 1; seq <= count; seq++) {
    const chunk = testChunk(START_MS * 1000 + (seq - 1) * 1e6);
    const body = JSON.stringify(testBody({ chunk, ...parts }));
    const record = seal(body, seq, prev, stream, parts.origin ?? 'simulated');
    records.push(record);
    prev = record.hash;
  }
  return records;
}

export function testEvent(n: number, parts: Partial<RigEvent> = {}): RigEvent {
  return {
    origin: 'simulated',
    id: `${STREAM}:${n}`,
    type: 'arcStart',
    tUs: START_MS * 1000 + n * 1e6,
    at: new Date(START_MS + n * 1000).toISOString(),
    passIndex: 1,
    text: 'Arc started.',
    data: {},
    ...parts,
  };
}

export function testPass(index: number, parts: Partial<PassMessage> = {}): PassMessage {
  const startMs = START_MS + index * 60_000;
  return {
    origin: 'simulated',
    site: 'spread-1',
    rig: 'rig-a',
    stream: STREAM,
    passId: `${STREAM}:${index}`,
    state: 'closed',
    joint: 'J-0001',
    side: 'A',
    assignmentId: null,
    procedureId: 'example-610',
    procedureRevision: 1,
    startUs: startMs * 1000,
    endUs: (startMs + 50_000) * 1000,
    startUtc: new Date(startMs).toISOString(),
    endUtc: new Date(startMs + 50_000).toISOString(),
    clock: { state: 'synced', offsetMs: null },
    pass: {
      index,
      procedurePass: 'fill 1',
      startS: index * 60,
      endS: index * 60 + 50,
      arcTimeS: 50,
      elapsedS: 50,
      restarts: 0,
      stops: [],
      extinctions: 0,
      unobservedS: 0,
      standingArcS: null,
      standingArcKj: null,
      meanCurrentA: 236,
      meanVoltageV: 24,
      meanWireFeedMmS: null,
      meanTravelMmS: 7.5,
      runOutLengthMm: 375,
      energyBasis: 'frameProduct',
      arcEnergyKj: 283.2,
      meanProductKj: 283.2,
      arcEnergyKjMm: 0.7552,
      heatInputKjMm: 0.60416,
      thermalEfficiency: 0.8,
      wireUsedM: null,
      wireUsedKg: null,
      startPositionMm: 0,
      endPositionMm: 375,
      positionUncertaintyMm: 5,
      sequence: { gasBeforeArcS: null, arcBeforeTravelS: null, arcAfterTravelS: null, gasAfterArcS: null },
      continues: null,
      label: null,
      verdicts: [],
      reasons: [],
    },
    deviations: [],
    ...parts,
  };
}

export function testDeviation(fromS: number, parts: Partial<PassMessage['deviations'][number]> = {}) {
  return {
    quantity: 'weldingCurrent',
    basis: 'window' as const,
    unit: 'A',
    min: 190,
    nominal: 235,
    max: 260,
    value: 270,
    expandedUncertainty: null,
    state: 'out' as const,
    outLengthMm: 25,
    longestRunMm: 25,
    reason: null,
    fromS,
    toS: fromS + 4,
    fromMm: 100,
    toMm: 130,
    extreme: 275,
    ...parts,
  };
}

/** A live summary with one value changed per call of the test. */
export function testLive(tUs: number, current: number | null = 236) {
  return {
    origin: 'simulated' as const,
    at: new Date(START_MS + Math.floor(tUs / 1000)).toISOString(),
    tUs,
    source: { state: 'streaming' as const, since: new Date(START_MS).toISOString(), detail: null },
    clock: { state: 'synced' as const, offsetMs: null },
    buffer: { waiting: 0, storedTo: null, recording: 'ok' as const },
    arc: 'on' as const,
    assignment: null,
    values: {
      weldingCurrent: current,
      arcVoltage: 24,
      wireFeedSpeed: null,
      travelSpeed: 7.5,
      power: null,
      gasFlow: null,
      temperature: null,
      oscillationWidth: null,
      oscillationFrequency: null,
      program: null,
    },
    position: null,
    pass: null,
    outOfRange: [],
  };
}

export const EXAMPLE_PROCEDURE = {
  schema: 'girthlog.procedure/1' as const,
  id: 'example-610',
  revision: 1,
  title: 'Example for tests',
  exampleOnly: true,
  pipe: { outsideDiameterMm: 610, wallThicknessMm: 15.9 },
  passes: [
    {
      name: 'root',
      type: 'root',
      limits: [
        { quantity: 'weldingCurrent' as const, unit: 'A', basis: 'window' as const, min: 150, max: 210 },
      ],
    },
    {
      name: 'fill 1',
      type: 'fill',
      limits: [
        { quantity: 'weldingCurrent' as const, unit: 'A', basis: 'window' as const, min: 190, max: 260 },
      ],
    },
  ],
};

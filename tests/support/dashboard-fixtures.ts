/** Invented states of rigs for the browser tests: no real joint, person or place. */
import type { JointRing, Person, Rig } from '#core/messages/api';
import type { Origin, Side } from '#core/messages/common';
import type { Live, OutOfRange } from '#core/messages/live';
import { circumferentialPosition } from '#core/position/circumferential-position';
import type { Procedure } from '#core/procedure/procedure';

export const DIAMETER_MM = 610;
export const START_UTC_MS = Date.UTC(2026, 4, 12, 14, 3, 0);

const limit = (
  quantity: Procedure['passes'][number]['limits'][number]['quantity'],
  unit: string,
  min: number,
  nominal: number,
  max: number,
) => ({ quantity, unit, basis: 'window' as const, min, nominal, max, authority: 'invented for tests' });

const pass = (
  name: string,
  type: string,
  [i, u, w, v, q]: readonly (readonly [number, number, number])[],
) => ({
  name,
  type,
  wire: { diameterMm: 1 },
  limits: [
    limit('weldingCurrent', 'A', ...i!),
    limit('arcVoltage', 'V', ...u!),
    limit('wireFeedSpeed', 'm/min', ...w!),
    limit('travelSpeed', 'mm/s', ...v!),
    limit('arcEnergy', 'kJ/mm', ...q!),
  ],
});

const fill = [
  [190, 236, 260],
  [21, 24, 26],
  [8.9, 10.3, 12.7],
  [5, 7.5, 9],
  [0.5, 0.755, 1],
] as const;

export const PROCEDURE: Procedure = {
  schema: 'girthlog.procedure/1',
  id: 'example-610',
  revision: 1,
  title: 'Example, external downhill, 610 × 15.9',
  exampleOnly: true,
  pipe: { outsideDiameterMm: DIAMETER_MM, wallThicknessMm: 15.9 },
  passes: [
    pass('root', 'root', [
      [150, 180, 210],
      [17, 19.5, 22],
      [6.5, 6.9, 9.5],
      [8, 11.5, 15],
      [0.2, 0.305, 0.4],
    ]),
    pass('hot', 'hot', [
      [220, 255, 290],
      [22, 24, 26],
      [11, 11.5, 14],
      [15, 17.5, 22],
      [0.25, 0.35, 0.45],
    ]),
    pass('fill 1', 'fill', fill),
    pass('fill 2', 'fill', fill),
    pass('fill 3', 'fill', fill),
    pass('cap', 'cap', [
      [150, 185, 220],
      [19, 21, 24],
      [6.4, 7.4, 10],
      [4, 5.5, 7.5],
      [0.5, 0.706, 0.95],
    ]),
  ],
};

export const PEOPLE: readonly Person[] = [
  { id: 'p-1', name: 'Ines Marrow', roles: ['weldSetter'] },
  { id: 'p-2', name: 'Tobi Lund', roles: ['inspector'] },
];

export interface RigFixture {
  readonly rig: string;
  readonly place: number;
  readonly joint?: string;
  readonly side?: Side;
  readonly pass?: string;
  readonly origin?: Origin;
  readonly alongMm?: number;
  readonly arc?: Live['arc'];
  readonly values?: Partial<Live['values']>;
  readonly outOfRange?: readonly OutOfRange[];
  readonly live?: Partial<Live>;
  readonly unobservedS?: number;
  readonly noLive?: boolean;
  readonly noWork?: boolean;
}

const STREAM = '0123456789abcdef0123456789abcdef';
const utc = (ms: number): string => new Date(ms).toISOString();
const round = (value: number, digits: number): number => Number(value.toFixed(digits));

function workOf(fixture: RigFixture) {
  if (fixture.noWork === true) return null;
  return {
    joint: fixture.joint ?? 'J-0412',
    side: fixture.side ?? (fixture.place % 2 === 0 ? ('A' as const) : ('B' as const)),
    pass: fixture.pass ?? 'fill 2',
    procedureId: PROCEDURE.id,
    procedureRevision: PROCEDURE.revision,
    outsideDiameterMm: DIAMETER_MM,
    startDegrees: 0,
  };
}

/** What a rig says `seconds` after the start: it travels, and its values wander a little, always alike. */
export function liveAt(fixture: RigFixture, seconds: number): Live {
  const work = workOf(fixture);
  const alongMm = round((fixture.alongMm ?? 300) + 7.5 * (fixture.arc === 'off' ? 0 : seconds), 1);
  const wave = (size: number, period: number): number =>
    size * Math.sin((2 * Math.PI * (seconds + fixture.place * 3)) / period);
  const at = circumferentialPosition({
    alongMm,
    side: work?.side ?? 'A',
    startDegrees: 0,
    outsideDiameterMm: DIAMETER_MM,
  });
  const on = fixture.arc !== 'off';
  const nominal = (quantity: string): number =>
    PROCEDURE.passes.find(({ name }) => name === work?.pass)?.limits.find(one => one.quantity === quantity)
      ?.nominal ?? 0;
  const [i, u, w, v] = [
    nominal('weldingCurrent') || 232,
    nominal('arcVoltage') || 23.9,
    (nominal('wireFeedSpeed') || 10.3) / 0.06,
    nominal('travelSpeed') || 7.5,
  ];
  const { assignment, ...live } = {
    origin: fixture.origin ?? 'simulated',
    at: utc(START_UTC_MS + seconds * 1000),
    tUs: Math.round(1e9 + seconds * 1e6),
    source: { state: 'streaming' as const, since: utc(START_UTC_MS - 60_000), detail: null },
    clock: { state: 'synced' as const, offsetMs: 4 },
    buffer: {
      waiting: 0,
      storedTo: utc(START_UTC_MS + Math.floor(seconds) * 1000),
      recording: 'ok' as const,
    },
    arc: fixture.arc ?? ('on' as const),
    assignment: work === null ? null : { id: `a-${fixture.rig}`, ...work },
    values: {
      weldingCurrent: on ? round(i + wave(6, 7), 1) : 0,
      arcVoltage: on ? round(u + wave(0.3, 5), 2) : 0,
      wireFeedSpeed: on ? round(w + wave(3, 9), 2) : 0,
      travelSpeed: on ? round(v + wave(0.2, 11), 3) : 0,
      power: on ? round(i * u + wave(150, 6), 0) : 0,
      gasFlow: 24,
      temperature: 140,
      oscillationWidth: null,
      oscillationFrequency: null,
      program: 4,
      ...fixture.values,
    },
    position: work === null ? null : { alongMm, ...at, uncertaintyMm: 9 },
    pass: {
      index: 3,
      startUs: 1e9,
      arcTimeS: round(alongMm / 7.5, 1),
      runOutLengthMm: alongMm,
      arcEnergyKj: round(alongMm * 0.742, 2),
      arcEnergyKjMm: 0.742,
      heatInputKjMm: 0.594,
      energyBasis: fixture.place % 2 === 0 ? ('instantaneous' as const) : ('frameProduct' as const),
      arcEnergyUncertaintyKjMm: 0.04,
      restarts: fixture.place % 3 === 0 ? 0 : 1,
      extinctions: 0,
      unobservedS: fixture.unobservedS ?? 0,
      standingArcS: 1.2,
    },
    outOfRange: [...(fixture.outOfRange ?? [])],
    ...fixture.live,
  };
  if (assignment === null || assignment === undefined) return { ...live, assignment: null };
  const { id, joint, side, pass: passName, procedureId, procedureRevision } = assignment;
  return { ...live, assignment: { id, joint, side, pass: passName, procedureId, procedureRevision } };
}

export function rigAt(fixture: RigFixture, seconds: number): Rig {
  const origin = fixture.origin ?? 'simulated';
  const at = utc(START_UTC_MS);
  const work = workOf(fixture);
  return {
    site: 'spread-1',
    rig: fixture.rig,
    place: fixture.place,
    info: {
      origin,
      at,
      site: 'spread-1',
      rig: fixture.rig,
      stream: STREAM,
      software: '0.1.0',
      source: { url: 'tcp://127.0.0.1:5000', format: 'text' },
      samplePeriodS: 0.01,
      channels: [],
      referenceRadiusMm: 320,
      voltageTapPoint: 'at the wire feeder',
      requiredStores: ['dashboard'],
    },
    status: { origin, state: 'ready', at },
    health: null,
    live: fixture.noLive === true ? null : liveAt(fixture, seconds),
    alarms: null,
    assignment: work === null ? null : { origin, id: `a-${fixture.rig}`, at, author: 'p-1', work },
  };
}

const HALF_MM = (Math.PI * DIAMETER_MM) / 2;

/** Everything below the pass `current` is welded on both sides, with one old excursion. */
export function ringOf(joint: string, current: string): JointRing {
  const below = PROCEDURE.passes.findIndex(({ name }) => name === current);
  const whole = [{ fromMm: 0, toMm: HALF_MM }];
  return {
    joint,
    procedureId: PROCEDURE.id,
    procedureRevision: PROCEDURE.revision,
    outsideDiameterMm: DIAMETER_MM,
    layers: PROCEDURE.passes.map(({ name }, i) => ({
      pass: name,
      sides:
        i >= below
          ? []
          : (['A', 'B'] as const).map(side => ({
              side,
              spans: whole,
              outOfRange:
                i === 1 && side === 'B' ? [{ fromMm: 640, toMm: 682, quantity: 'travelSpeed' }] : [],
              uncertaintyMm: 9,
            })),
    })),
  };
}

export const TRAVEL_OUT: OutOfRange = {
  quantity: 'travelSpeed',
  unit: 'mm/s',
  value: 9.6,
  min: 5,
  max: 9,
  sinceUs: 1e9,
  sincePositionMm: 430,
  lengthMm: 35,
};

/** Eight stations, sixteen sides, most of what can happen at once. */
export function sixteenSides(): RigFixture[] {
  const passes = ['cap', 'fill 3', 'fill 2', 'fill 1', 'hot', 'root', 'fill 2', 'cap'];
  return Array.from({ length: 16 }, (_, i): RigFixture => {
    const station = Math.floor(i / 2);
    return {
      rig: `rig-${i + 1}`,
      place: i,
      joint: `J-04${12 + station}`,
      pass: passes[station] ?? 'hot',
      alongMm: 120 + 47 * i,
      ...(i === 5 ? { outOfRange: [TRAVEL_OUT], values: { travelSpeed: 9.6 } } : {}),
      ...(i === 8 ? { arc: 'off' as const } : {}),
      ...(i === 11 ? { noWork: true } : {}),
    };
  });
}

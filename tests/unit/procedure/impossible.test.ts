/** Tables that nothing can meet. Reach: arc energy = U·I/v (EN 1011-1, 19.1 without k; ISO/TR 18491 method A), worked by hand. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { PLAUSIBLE_RIG, procedureProblems } from '#core/procedure/impossible';
import { type Limit, type Procedure, procedureSchema } from '#core/procedure/procedure';

const limit = (quantity: Limit['quantity'], unit: string, parts: Partial<Limit>): Limit => ({
  quantity,
  unit,
  basis: 'window',
  ...parts,
});
// 200–250 A, 22–26 V, 5–10 mm/s: 0.44 to 1.30 kJ/mm.
const electrical = [
  limit('weldingCurrent', 'A', { min: 200, max: 250 }),
  limit('arcVoltage', 'V', { min: 22, max: 26 }),
  limit('travelSpeed', 'mm/s', { min: 5, max: 10 }),
];
const procedure = (limits: readonly Limit[], parts: Partial<Procedure> = {}): Procedure =>
  procedureSchema.parse({
    schema: 'girthlog.procedure/1',
    id: 'wps-7',
    revision: 1,
    title: 'For tests',
    passes: [{ name: 'fill', type: 'fill', limits }],
    ...parts,
  });
const problems = (limits: readonly Limit[], parts: Partial<Procedure> = {}) =>
  procedureProblems(procedure(limits, parts));

describe('an impossible pass table', () => {
  it('the example WPS is none', () => {
    const file = new URL('../../../simulator/demo/example-procedure.json', import.meta.url);
    expect(procedureProblems(procedureSchema.parse(JSON.parse(readFileSync(file, 'utf8'))))).toEqual([]);
  });

  it.each<[string, Partial<Limit>, string | null]>([
    ['reachable', { min: 0.5, max: 1 }, null],
    ['touching the most', { min: 1.3 }, null],
    ['above the most', { min: 1.31 }, 'passes.0.limits.3.min'],
    ['touching the least', { max: 0.44 }, null],
    ['below the least', { max: 0.43 }, 'passes.0.limits.3.max'],
  ])('arc energy %s', (_name, parts, path) => {
    const found = problems([...electrical, limit('arcEnergy', 'kJ/mm', parts)]);
    expect(found.map(one => one.path)).toEqual(path === null ? [] : [path]);
  });

  it('says the pass, the field and what can be reached', () => {
    const [found] = problems([...electrical, limit('arcEnergy', 'kJ/mm', { min: 1.5 })]);
    expect(found?.message).toBe(
      'Pass "fill", arcEnergy, min: 1.5 kJ/mm cannot be reached, at most 1.3 kJ/mm by its current, voltage and travel limits.',
    );
  });

  // k = 0.8 for MIG/MAG, EN 1011-1: at most 1.04 kJ/mm.
  it('heat input is arc energy × k, in whatever unit it was entered', () => {
    expect(problems([...electrical, limit('heatInput', 'kJ/mm', { min: 1.05 })])).toHaveLength(1);
    expect(
      problems([...electrical, limit('heatInput', 'kJ/mm', { min: 1.05 })], { thermalEfficiency: 1 }),
    ).toEqual([]);
    // 1.04 kJ/mm = 26.416 kJ/in.
    expect(problems([...electrical, limit('heatInput', 'kJ/[in_i]', { min: 26.4 })])).toEqual([]);
    expect(problems([...electrical, limit('heatInput', 'kJ/[in_i]', { min: 26.5 })])).toHaveLength(1);
  });

  // ISO/TR 18491: mean values miss the energy of a controlled waveform, here by up to 30 %.
  it('a waveform-controlled procedure has room for what mean values miss', () => {
    const most = [...electrical, limit('arcEnergy', 'kJ/mm', { min: 1.5 })];
    expect(problems(most, { waveformControlled: true })).toEqual([]);
    const beyond = [...electrical, limit('arcEnergy', 'kJ/mm', { min: 1.7 })];
    expect(problems(beyond, { waveformControlled: true })).toHaveLength(1);
  });

  it('where a limit is open, nothing is out of reach on that end', () => {
    const open = [electrical[0]!, electrical[1]!, limit('travelSpeed', 'mm/s', { max: 10 })];
    expect(problems([...open, limit('arcEnergy', 'kJ/mm', { min: 9 })])).toEqual([]);
    expect(problems([...open, limit('arcEnergy', 'kJ/mm', { max: 0.4 })])).toHaveLength(1);
  });

  it.each<[string, Limit, string | null]>([
    ['slower than a rig', limit('travelSpeed', 'mm/s', { min: 0.4, max: 8 }), 'passes.0.limits.0.min'],
    ['faster than a rig', limit('travelSpeed', 'm/min', { max: 3.01 }), 'passes.0.limits.0.max'],
    ['as fast as a rig', limit('travelSpeed', 'm/min', { max: 3 }), null],
    ['more wire than a rig', limit('wireFeedSpeed', 'm/min', { nominal: 31 }), 'passes.0.limits.0.nominal'],
    [
      'feed by tolerance',
      limit('wireFeedSpeed', 'm/min', { nominal: 29, tolerancePercent: 10 }),
      'passes.0.limits.0.max',
    ],
    ['feed in inches', limit('wireFeedSpeed', '[in_i]/min', { min: 350, max: 450 }), null],
  ])('%s', (_name, one, path) => {
    expect(problems([one]).map(found => found.path)).toEqual(path === null ? [] : [path]);
  });

  it('takes the range of the rigs of the job', () => {
    const slow = { ...PLAUSIBLE_RIG, travelMmPerS: { min: 1, max: 9 } };
    const found = procedureProblems(procedure([limit('travelSpeed', 'mm/s', { max: 9.5 })]), slow);
    expect(found[0]?.message).toContain('9.5 mm/s is outside what a rig can do, 1 to 9 mm/s');
  });

  it('a unit that does not fit its quantity', () => {
    expect(problems([limit('weldingCurrent', 'V', { min: 1 })])[0]).toMatchObject({
      path: 'passes.0.limits.0.unit',
      message: expect.stringContaining('Pass "fill", weldingCurrent, unit:'),
    });
  });

  it('two limits that no value meets together; different bases and zones are no contradiction', () => {
    const low = limit('weldingCurrent', 'A', { max: 190 });
    const high = limit('weldingCurrent', 'A', { min: 200 });
    expect(problems([low, high])[0]?.message).toBe(
      'Pass "fill", weldingCurrent: at least 200 A and at most 190 A cannot both be met.',
    );
    expect(problems([low, { ...high, clockZone: { from: 5, to: 7 } }])).toEqual([]);
  });

  it('less than nothing, except for temperatures', () => {
    expect(problems([limit('gasFlow', 'L/min', { min: -1, max: 5 })])).toHaveLength(1);
    expect(problems([limit('preheatTemperature', 'Cel', { min: -10 })])).toEqual([]);
  });
});

describe('the schema refuses by itself', () => {
  const refused = (parts: object): string => {
    const result = procedureSchema.safeParse({
      schema: 'girthlog.procedure/1',
      id: 'wps-7',
      revision: 1,
      title: 'For tests',
      passes: [{ name: 'fill', type: 'fill', limits: [] }],
      ...parts,
    });
    return result.success
      ? 'accepted'
      : `${result.error.issues[0]?.path.join('.')}: ${result.error.issues[0]?.message}`;
  };
  const withLimit = (one: object) => ({
    passes: [
      {
        name: 'fill',
        type: 'fill',
        limits: [{ quantity: 'weldingCurrent', unit: 'A', basis: 'pass', ...one }],
      },
    ],
  });

  it.each<[string, object, RegExp]>([
    [
      'min at max',
      withLimit({ min: 200, max: 200 }),
      /^passes\.0\.limits\.0\.min: .*min 200 is not below max 200/,
    ],
    ['not a number', withLimit({ min: Number.NaN }), /^passes\.0\.limits\.0\.min: /],
    ['endless', withLimit({ max: Number.POSITIVE_INFINITY }), /^passes\.0\.limits\.0\.max: /],
    [
      'diameters crossed',
      { baseMaterial: { outsideDiameterMinMm: 700, outsideDiameterMaxMm: 600 } },
      /^baseMaterial\.outsideDiameterMinMm: .*is above/,
    ],
    [
      'a process that is none',
      { passes: [{ name: 'f', type: 'f', limits: [], process: 'MAG' }] },
      /ISO 4063/,
    ],
    ['an unknown field', { colour: 'blue' }, /colour/],
  ])('%s', (_name, parts, message) => {
    expect(refused(parts)).toMatch(message);
  });

  it('takes every field of a WPS', () => {
    expect(
      refused({
        code: 'the code and edition of the job',
        qualificationRecords: ['PQR-1', 'PQR-2'],
        scope: 'mainline',
        baseMaterial: {
          grade: 'L485M',
          outsideDiameterMinMm: 508,
          outsideDiameterMaxMm: 1219,
          wallThicknessMinMm: 12,
          wallThicknessMaxMm: 20,
          carbonEquivalentMax: 0.43,
          pcmMax: 0.25,
        },
        bevel: {
          type: 'compound',
          anglesDegrees: [45, 5],
          rootFaceMm: 1.3,
          gapMm: 0,
          offsetMaxMm: 1.6,
          backing: 'copper shoe',
          clamp: 'internal',
        },
        ndtRule: 'automated ultrasonic testing of every joint',
        repairRule: 'by its own WPS, once',
        passes: [
          {
            name: 'root',
            type: 'root',
            process: '135',
            transferMode: 'short circuit',
            polarity: 'electrodePositive',
            program: 1,
            wire: { diameterMm: 1, classification: 'G 50', lotRule: 'one lot a joint' },
            gas: 'M21',
            direction: 'downhill',
            technique: 'stringer',
            torchAngleDegrees: 5,
            limits: [],
          },
        ],
      }),
    ).toBe('accepted');
  });
});

/**
 * What passes add up to. Examples are invented and computed by hand beside each check. Operating factor: the trade's
 * definition, arc time / elapsed (common practice, no source). Deposition: ESAB MIG Welding Handbook, section 7-10, and
 * the weighed plate of CIGWELD Technical and Trade Information.
 */
import { describe, expect, it } from 'vitest';
import type { Pass, PassMessage } from '#core/messages/pass';
import { depositedKgPerH, wireMassKg } from '#core/metal/wire';
import type { ShiftPass } from '#core/shift/shift-facts';
import { arcSpan, NO_PASS, shiftWork } from '#core/shift/shift-work';
import { testDeviation, testPass } from '../../support/test-records.ts';

const NOTHING_RULED = { ruled: new Set<string>(), spoolChanges: 0, bottleChanges: 0 };
const NOON = Date.UTC(2026, 4, 12, 12, 0, 0);

/** From minute to minute after noon. */
function welded(
  fromMin: number,
  toMin: number,
  values: Partial<Pass> = {},
  parts: Partial<PassMessage> & { changes?: number } = {},
): ShiftPass {
  const { changes = 0, ...rest } = parts;
  const made = testPass(1, {
    startUtc: new Date(NOON + fromMin * 60_000).toISOString(),
    endUtc: new Date(NOON + toMin * 60_000).toISOString(),
    ...rest,
  });
  const message = { ...made, pass: { ...made.pass, ...values } };
  return { message, work: { joint: message.joint, side: message.side, pass: 'fill 1' }, changes };
}

describe('arc time and operating factor', () => {
  it('three passes of 4, 5 and 3 minutes of arc between 12:00 and 13:00 are 12 of 60 minutes: 20 %', () => {
    const passes = [
      welded(0, 4, { arcTimeS: 240 }),
      welded(20, 26, { arcTimeS: 300 }),
      welded(57, 60, { arcTimeS: 180 }),
    ];
    const { arcTimeS } = shiftWork(passes, NOTHING_RULED);
    expect(arcTimeS).toBe(720);
    expect(arcSpan(passes, arcTimeS)).toEqual({
      firstArcUtc: '2026-05-12T12:00:00.000Z',
      lastArcUtc: '2026-05-12T13:00:00.000Z',
      elapsedS: 3600,
      operatingFactor: 0.2,
      arcReason: null,
    });
  });

  it('elapsed ends with the last arc, whichever pass began last', () => {
    const passes = [welded(0, 30, { arcTimeS: 60 }), welded(10, 12, { arcTimeS: 60 })];
    expect(arcSpan(passes, 120).elapsedS).toBe(1800);
  });

  it('of no pass are not known, and the counts are counts', () => {
    const none = shiftWork([], NOTHING_RULED);
    expect(none).toMatchObject({ passes: 0, arcTimeS: null, deviations: 0 });
    expect(none.wireKg).toEqual({ value: null, known: 0, of: 0, reason: NO_PASS });
    expect(arcSpan([], none.arcTimeS)).toMatchObject({ operatingFactor: null, arcReason: NO_PASS });
  });

  it('stamps that allow less time than the arc burned give no factor but the reason', () => {
    const passes = [welded(0, 1, { arcTimeS: 90 })];
    expect(arcSpan(passes, 90)).toMatchObject({
      operatingFactor: null,
      arcReason: 'arc time 90 s is out of range: 0 to 60 s',
    });
  });
});

describe('passes', () => {
  it('are counted apart from continuations; restarts, open ones and unset clocks are told', () => {
    const passes = [
      welded(0, 4, { restarts: 2 }),
      welded(5, 8, { continues: 1, restarts: 1 }),
      welded(9, 10, {}, { state: 'open', clock: { state: 'unsynced', offsetMs: null } }),
    ];
    expect(shiftWork(passes, NOTHING_RULED)).toMatchObject({
      passes: 2,
      continuations: 1,
      restarts: 3,
      open: 1,
      clockUnset: 1,
    });
  });

  it('leave deviations and changes open until a person has ruled on their joint', () => {
    const passes = [
      welded(0, 4, {}, { joint: 'J-1', deviations: [testDeviation(61), testDeviation(70)], changes: 1 }),
      welded(5, 8, {}, { joint: 'J-2', deviations: [testDeviation(61)], changes: 2 }),
      welded(9, 10, {}, { joint: null, deviations: [testDeviation(61)] }),
    ];
    expect(shiftWork(passes, { ...NOTHING_RULED, ruled: new Set(['J-1']) })).toMatchObject({
      deviations: 4,
      deviationsOpen: 2,
      changes: 3,
      changesOpen: 2,
    });
  });
});

describe('wire and gas', () => {
  const kg = (m: number): number => wireMassKg(m * 1000, 1);

  it('are summed over the passes that know them, with the count and the reason of the others', () => {
    const unknownWire = {
      wireUsedM: 20,
      reasons: [{ code: 'noWireDiameter', fields: ['wireUsedKg'], text: 'no wire diameter is given' }],
    };
    const passes = [
      welded(0, 4, { wireUsedM: 40, wireUsedKg: 0.25, gasUsedL: 60 }),
      welded(5, 8, { wireUsedM: 30, wireUsedKg: 0.1875, gasUsedL: 45.5 }),
      welded(9, 10, unknownWire),
    ];
    const { wireM, wireKg, gasL } = shiftWork(passes, NOTHING_RULED);
    expect(wireM).toEqual({ value: 90, known: 3, of: 3, reason: null });
    expect(wireKg).toEqual({ value: 0.4375, known: 2, of: 3, reason: 'no wire diameter is given' });
    expect(gasL).toEqual({ value: 105.5, known: 2, of: 3, reason: 'no gas flow is measured' });
  });

  it('nothing measured is null, never 0, and reasons that name seconds are told once', () => {
    const partly = (text: string): Partial<Pass> => ({
      gasUsedL: null,
      reasons: [{ code: 'partlyGasFlow', fields: ['gasUsedL'], text }],
    });
    const passes = [welded(0, 4, partly('unknown for 5.00 s')), welded(5, 8, partly('unknown for 7.00 s'))];
    expect(shiftWork(passes, NOTHING_RULED).gasL).toEqual({
      value: null,
      known: 0,
      of: 2,
      reason: 'gas flow was unknown for too long',
    });
  });

  it('100 m of 1.0 mm wire are 0.6165 kg: π/4 mm² × 100 000 mm × 7.85e-6 kg/mm³', () => {
    const { wireKg } = shiftWork([welded(0, 4, { wireUsedM: 100, wireUsedKg: kg(100) })], NOTHING_RULED);
    expect(wireKg.value).toBeCloseTo(0.6165, 4);
  });
});

describe('deposition rate', () => {
  const LB_KG = 0.45359237;

  it('95 g in 60 s are 5.7 kg/h (CIGWELD, deposition data: weighed plate)', () => {
    expect(depositedKgPerH({ wireKg: 0.095, arcTimeS: 60, efficiency: 1 })).toEqual({
      kind: 'value',
      value: expect.closeTo(5.7, 9),
    });
  });

  // ESAB MIG Welding Handbook 7-10: melt-off lb/h = in/min × 60 / (inches in a pound), table of inches ± 1.5 %.
  it.each([
    [0.035, 3648],
    [0.045, 2196],
    [0.0625, 1152],
  ])('an hour of %s in wire at 300 in/min agrees with the handbook’s %i inches a pound', (inches, perLb) => {
    const mm = 300 * 25.4 * 60;
    const wireKg = wireMassKg(mm, inches * 25.4);
    const passes = [welded(0, 60, { arcTimeS: 3600, wireUsedM: mm / 1000, wireUsedKg: wireKg })];
    const { depositionKgPerH } = shiftWork(passes, NOTHING_RULED);
    const published = ((300 * 60) / perLb) * LB_KG * 0.96;
    expect(Math.abs(depositionKgPerH.value! / published - 1)).toBeLessThan(0.015);
  });

  it('counts the arc time of passes with a known mass only: 0.5 kg in 10 min at 0.96 are 2.88 kg/h', () => {
    const passes = [
      welded(0, 10, { arcTimeS: 600, wireUsedM: 80, wireUsedKg: 0.5 }),
      welded(20, 40, { arcTimeS: 1200 }),
    ];
    const { depositionKgPerH } = shiftWork(passes, NOTHING_RULED);
    expect(depositionKgPerH).toEqual({
      value: expect.closeTo(2.88, 9),
      known: 1,
      of: 2,
      reason: 'no wire feed is measured',
    });
  });
});

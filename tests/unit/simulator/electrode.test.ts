import { describe, expect, it } from 'vitest';
import { ARC_FALL_V, arcColumnV, extensionResistanceOhm } from '../../../simulator/physics/arc-voltage.ts';
import { burnOffCurrentA, burnOffOf } from '../../../simulator/physics/burn-off.ts';
import {
  type Electrode,
  type ElectrodeInput,
  stepElectrode,
  tipVoltageV,
} from '../../../simulator/physics/electrode.ts';
import {
  CONSTANT_VOLTAGE_SOURCE,
  leadResistanceOhm,
  sourceSettingV,
} from '../../../simulator/physics/power-source.ts';

const STEP_S = 1e-4;
const feedMmS = (10.27 * 1000) / 60;
const wire = burnOffOf(1);
const leadOhm = 0.011;
const nominalA = burnOffCurrentA(wire, feedMmS, 12);
const input: ElectrodeInput = {
  wire,
  wireDiameterMm: 1,
  ctwdMm: 12,
  feedMmS,
  settingV: sourceSettingV(CONSTANT_VOLTAGE_SOURCE, 24, nominalA, leadOhm),
  openCircuitV: 58,
  circuitOhm: CONSTANT_VOLTAGE_SOURCE.slopeVPerA + leadOhm,
  inductanceH: CONSTANT_VOLTAGE_SOURCE.inductanceH,
  formFactor2: 1,
};
const start: Electrode = { arc: 'off', currentA: 0, extensionMm: 11 };

function burnFor(seconds: number, change: Partial<ElectrodeInput> = {}, from = start): Electrode {
  let state = from;
  const now = { ...input, ...change };
  for (let t = 0; t < seconds; t += STEP_S) state = stepElectrode(state, now, STEP_S);
  return state;
}

describe('self-regulation of the arc', () => {
  const settled = burnFor(2);

  it('settles on the burn-off line at the voltage the source was set for', () => {
    expect(settled.currentA).toBeCloseTo(nominalA, 2);
    expect(tipVoltageV(settled, input)).toBeCloseTo(24, 2);
    const arcLength = 12 - settled.extensionMm;
    expect(arcLength).toBeGreaterThan(1);
    expect(arcLength).toBeLessThan(8);
  });

  it('carries the open-circuit voltage and no current until the wire touches', () => {
    const waiting = burnFor(0.004);
    expect(waiting).toMatchObject({ arc: 'off', currentA: 0 });
    expect(tipVoltageV(waiting, input)).toBe(58);
    expect(burnFor(0.02).arc).toBe('burning');
  });

  it('finds back within a fraction of a second after the torch moves, with less current and a little more voltage', () => {
    const higher = { ctwdMm: 16 };
    const soon = burnFor(0.3, higher, settled);
    const late = burnFor(2, higher, settled);
    expect(late.currentA).toBeCloseTo(burnOffCurrentA(wire, feedMmS, 16), 2);
    expect(soon.currentA).toBeCloseTo(late.currentA, 0);
    const rise = tipVoltageV(late, { ...input, ...higher }) - 24;
    expect(rise).toBeGreaterThan(0.2);
    expect(rise).toBeLessThan(1.5);
  });

  it('a bad earth takes 1.25 V per 5 mΩ at 250 A from the arc, nothing from the source terminals', () => {
    // Fault catalogue: −1.25 V per 5 mΩ at 250 A (Ohm's law); the current stays on the burn-off line.
    const feedAt250 = 0.432 * 250 + 1.0368e-4 * 12 * 250 * 250;
    const at250 = {
      feedMmS: feedAt250,
      settingV: sourceSettingV(CONSTANT_VOLTAGE_SOURCE, 24, 250, leadOhm),
    };
    const sound = burnFor(3, at250);
    const bad = { ...at250, circuitOhm: input.circuitOhm + 0.005 };
    const faulty = burnFor(3, bad);
    expect(faulty.currentA).toBeCloseTo(sound.currentA, 1);
    const drop = tipVoltageV(faulty, { ...input, ...bad }) - tipVoltageV(sound, { ...input, ...at250 });
    expect(drop).toBeCloseTo(-1.25, 2);
    // Terminals: tip + lead + bad joint.
    const terminals = tipVoltageV(faulty, { ...input, ...bad }) + (leadOhm + 0.005) * faulty.currentA;
    expect(terminals).toBeCloseTo(tipVoltageV(sound, { ...input, ...at250 }) + leadOhm * sound.currentA, 2);
  });

  it('goes out when the output is switched off, and when the arc is drawn too long', () => {
    expect(burnFor(0.01, { settingV: null }, settled)).toMatchObject({ arc: 'off', currentA: 0 });
    expect(burnFor(0.05, { ctwdMm: 40 }, settled).arc).toBe('off');
  });
});

describe('voltages', () => {
  it('the arc column has the intercept of the conventional load line', () => {
    // IEC 60974-1, U2 = 14 + 0.05·I2 for metal arc welding with solid wire (from memory).
    expect(arcColumnV(0, 0)).toBe(14);
    expect(ARC_FALL_V).toBe(14);
  });

  it('12 mm of hot 1.0 mm wire has about ten milliohms', () => {
    expect(extensionResistanceOhm(1, 12)).toBeCloseTo(0.0107, 4);
  });

  it('60 m of 95 mm² copper lead drops about 2.8 V at 250 A', () => {
    // IEC 60028: 1/58 Ω·mm²/m at 20 °C, 0.00393 per K.
    expect(250 * leadResistanceOhm(60, 95, 20)).toBeCloseTo(2.72, 2);
    expect(250 * leadResistanceOhm(60, 95, 27.5)).toBeCloseTo(2.8, 2);
  });
});

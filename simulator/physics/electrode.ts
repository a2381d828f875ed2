/**
 * The wire between contact tip and pool, and the arc at its end: why a constant-voltage source holds the
 * arc length by itself.
 *
 *   de/dt = F − m(I, D)        l = D − e        L·dI/dt = U_set − (k + R)·I − U(I, l, e)
 *
 * e extension, D contact-tip-to-work distance (CTWD), l arc length, F true feed, m melting rate
 * (burn-off.ts), U arc and extension (arc-voltage.ts), k, R, L source and circuit (power-source.ts).
 * A shorter arc needs less voltage, the current rises, the wire melts faster than it is fed and the arc
 * grows back: de/dt = 0 only on the burn-off line, so there the current settles (after about 50 ms).
 * Source: self-regulation of consumable-electrode arcs, any welding-physics textbook (Lancaster,
 * "The Physics of Welding", from memory). Explicit Euler, steps of 0.1 ms (time constants 7 ms and 50 ms).
 */
import { ARC_FALL_V, ARC_FIELD_V_PER_MM, ARC_SLOPE_V_PER_A, extensionResistanceOhm } from './arc-voltage.ts';
import { type BurnOff, meltingRateMmS } from './burn-off.ts';

export interface Electrode {
  /** `off`: no output or wire not yet at the work. */
  readonly arc: 'off' | 'burning';
  readonly currentA: number;
  readonly extensionMm: number;
}

export interface ElectrodeInput {
  readonly wire: BurnOff;
  readonly wireDiameterMm: number;
  readonly ctwdMm: number;
  readonly feedMmS: number;
  /** Null: the source's output is off. */
  readonly settingV: number | null;
  readonly openCircuitV: number;
  /** Slope of the source and all resistance of leads and joints, Ω. */
  readonly circuitOhm: number;
  readonly inductanceH: number;
  readonly formFactor2: number;
}

/** Beyond this length an arc at these voltages goes out. */
const LONGEST_ARC_MM = 15;

/** The state `stepS` later. */
export function stepElectrode(state: Electrode, input: ElectrodeInput, stepS: number): Electrode {
  const { ctwdMm, feedMmS, settingV } = input;
  if (settingV === null) {
    return { arc: 'off', currentA: 0, extensionMm: state.extensionMm + feedMmS * stepS };
  }
  if (state.arc === 'off') {
    const extensionMm = state.extensionMm + feedMmS * stepS;
    if (extensionMm < ctwdMm) return { arc: 'off', currentA: 0, extensionMm };
    // The end touches the work, fuses, and the arc starts from nothing.
    return { arc: 'burning', currentA: 0, extensionMm: ctwdMm };
  }
  const arcLengthMm = Math.max(0, ctwdMm - state.extensionMm);
  if (arcLengthMm > LONGEST_ARC_MM) return { arc: 'off', currentA: 0, extensionMm: state.extensionMm };
  const arcV = ARC_FALL_V + ARC_FIELD_V_PER_MM * arcLengthMm + ARC_SLOPE_V_PER_A * state.currentA;
  const extensionV = extensionResistanceOhm(input.wireDiameterMm, state.extensionMm) * state.currentA;
  const drivingV = settingV - input.circuitOhm * state.currentA - arcV - extensionV;
  const melted = meltingRateMmS(input.wire, state.currentA, ctwdMm, input.formFactor2);
  return {
    arc: 'burning',
    currentA: Math.max(0, state.currentA + (drivingV / input.inductanceH) * stepS),
    extensionMm: Math.min(ctwdMm, Math.max(0, state.extensionMm + (feedMmS - melted) * stepS)),
  };
}

/** Voltage between tip and work, V. `openCircuitV` while nothing burns and the output is on, else 0. */
export function tipVoltageV(state: Electrode, input: ElectrodeInput): number {
  if (input.settingV === null) return 0;
  if (state.arc === 'off') return input.openCircuitV;
  const arcLengthMm = Math.max(0, input.ctwdMm - state.extensionMm);
  const ohm = extensionResistanceOhm(input.wireDiameterMm, state.extensionMm) + ARC_SLOPE_V_PER_A;
  return ARC_FALL_V + ARC_FIELD_V_PER_MM * arcLengthMm + ohm * state.currentA;
}

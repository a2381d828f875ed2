import { type BurnOff, burnOffCurrentA, burnOffOf } from '../physics/burn-off.ts';
import { type PowerSource, sourceSettingV } from '../physics/power-source.ts';
import { PULSE_SHAPE, pulsedCycle } from '../physics/pulsed-current.ts';
import { formFactor2 } from '../physics/two-level-cycle.ts';

/** How metal crosses the arc; decides the noise and the waveform. */
export type TransferMode = 'dip' | 'spray' | 'pulsed';

/** What a rig's pass program sets. Travel is at the weld, voltage between tip and work. */
export interface SetPoint {
  readonly name: string;
  readonly type: string;
  readonly program: number;
  readonly wireDiameterMm: number;
  readonly wireFeedMmS: number;
  readonly tipVoltageV: number;
  readonly travelMmS: number;
  readonly ctwdMm: number;
  readonly oscillationWidthMm: number;
  readonly oscillationHz: number;
  readonly transfer: TransferMode;
  readonly gasLPerMin: number;
}

export interface OperatingPoint {
  readonly wire: BurnOff;
  readonly currentA: number;
  readonly settingV: number;
}

/** Where a healthy rig settles at this set-point, and what its source must be set to for it. */
export function operatingPointOf(point: SetPoint, source: PowerSource, leadOhm: number): OperatingPoint {
  const wire = burnOffOf(point.wireDiameterMm);
  let currentA = burnOffCurrentA(wire, point.wireFeedMmS, point.ctwdMm);
  if (point.transfer === 'pulsed') {
    // The form factor depends on the mean current and the other way round: a contraction, done in a few rounds.
    for (let round = 0; round < 60; round++) {
      const shape = formFactor2(pulsedCycle(PULSE_SHAPE, currentA, point.tipVoltageV));
      currentA = (currentA + burnOffCurrentA(wire, point.wireFeedMmS, point.ctwdMm, shape)) / 2;
    }
  }
  return { wire, currentA, settingV: sourceSettingV(source, point.tipVoltageV, currentA, leadOhm) };
}

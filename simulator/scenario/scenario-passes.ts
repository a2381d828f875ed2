import type { SetPoint } from '../rig/set-point.ts';
import { EXAMPLE_PASSES } from './example-passes.ts';
import type { Scenario } from './scenario.ts';

/** The scenario's passes in welding order; the example passes where it lists none. */
export function passesOf(scenario: Scenario): readonly SetPoint[] {
  if (scenario.pass.length === 0) return EXAMPLE_PASSES;
  return scenario.pass.map(pass => ({
    name: pass.name,
    type: pass.type,
    program: pass.program,
    wireDiameterMm: pass.wire_diameter_mm,
    wireFeedMmS: (pass.wire_feed_m_per_min * 1000) / 60,
    tipVoltageV: pass.voltage_v,
    travelMmS: pass.travel_mm_per_s,
    ctwdMm: pass.ctwd_mm,
    oscillationWidthMm: pass.oscillation_width_mm,
    oscillationHz: pass.oscillation_per_min / 60,
    transfer: pass.transfer,
    gasLPerMin: pass.gas_l_per_min,
  }));
}

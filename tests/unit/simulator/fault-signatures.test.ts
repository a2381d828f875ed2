/**
 * Signatures of the fault catalogue (constant-voltage source; sizes for 1.0 mm wire at 10.3 m/min, 236 A,
 * 12 mm). Where a number is given it is computed from the burn-off relation or Ohm's law.
 */
import { describe, expect, it } from 'vitest';
import { EXAMPLE_PASSES } from '../../../simulator/scenario/example-passes.ts';
import { FILL, fault, weldSteadily } from './steady-rig.ts';

const good = weldSteadily();
const percent = (value: number, reference: number) => (value / reference - 1) * 100;

describe('without a fault', () => {
  it.each(EXAMPLE_PASSES.map(pass => [pass.name, pass] as const))(
    'the %s pass runs at its consistent point within 1 %%',
    (_name, setPoint) => {
      const expectedA = { root: 180, hot: 255, fill: 236, cap: 185 }[setPoint.type]!;
      const steady = weldSteadily({ setPoint, seconds: 6 });
      expect(Math.abs(percent(steady.reported('weldingCurrent'), expectedA))).toBeLessThan(1);
      expect(Math.abs(percent(steady.reported('arcVoltage'), setPoint.tipVoltageV))).toBeLessThan(1);
      expect(Math.abs(percent(steady.reported('wireFeedSpeed'), setPoint.wireFeedMmS))).toBeLessThan(1);
      expect(Math.abs(percent(steady.truth('travelMmS'), setPoint.travelMmS))).toBeLessThan(1);
    },
  );

  it('arc energy and deposit of the consistent points come out', () => {
    // 0.755 kJ/mm and 17.2 mm² for the fill, 0.350 and 8.2 for the hot pass (U·I/v, feed·πd²/4·0.96/v).
    for (const [name, energy, area] of [
      ['fill 1', 0.755, 17.2],
      ['hot', 0.35, 8.2],
    ] as const) {
      const steady = weldSteadily({ setPoint: EXAMPLE_PASSES.find(pass => pass.name === name)! });
      const travel = steady.truth('travelMmS');
      expect(Math.abs(percent(steady.truth('powerW') / travel / 1000, energy))).toBeLessThan(1);
      expect(Math.abs(percent((steady.truth('feedMmS') * (Math.PI / 4) * 0.96) / travel, area))).toBeLessThan(
        1,
      );
    }
  });

  it('travel is reported at the band and over-reads the weld by 6.6 %', () => {
    expect(percent(good.reported('travelSpeed'), good.truth('travelMmS'))).toBeCloseTo(6.56, 1);
  });

  it('a voltage tap at the source reads the lead drop on top', () => {
    const atSource = weldSteadily({ settings: { voltageTap: 'source' } });
    // 60 m of 95 mm² at 40 °C and 236 A: 2.77 V.
    expect(atSource.reported('arcVoltage') - good.reported('arcVoltage')).toBeCloseTo(2.77, 1);
    expect(atSource.truth('voltageV')).toBeCloseTo(good.truth('voltageV'), 1);
  });

  it('a pulsed waveform makes mean U × mean I visibly wrong, and reports the mean of u·i', () => {
    const pulsed = weldSteadily({ setPoint: { ...FILL, transfer: 'pulsed' } });
    const product = pulsed.reported('weldingCurrent') * pulsed.reported('arcVoltage');
    const excess = percent(pulsed.reported('power'), product);
    // D(1−D)·ΔI·ΔU with the default pulse at this current: between 8 and 20 %.
    expect(excess).toBeGreaterThan(8);
    expect(excess).toBeLessThan(20);
  });
});

describe('stick-out growth', () => {
  it.each([
    [2, -4.4],
    [4, -8.3],
    [6, -11.6],
  ])('+%d mm: current %d %%, voltage slightly up, feed and travel normal', (size, expected) => {
    const faulty = weldSteadily({ faults: [fault('stickOutGrowth', size)] });
    expect(percent(faulty.reported('weldingCurrent'), good.reported('weldingCurrent'))).toBeCloseTo(
      expected,
      0,
    );
    const rise = faulty.reported('arcVoltage') - good.reported('arcVoltage');
    expect(rise).toBeGreaterThan(0.1);
    expect(rise).toBeLessThan(1.5);
    expect(Math.abs(percent(faulty.reported('wireFeedSpeed'), good.reported('wireFeedSpeed')))).toBeLessThan(
      0.5,
    );
  });
});

describe('wire slip of 10 %', () => {
  it('read at the motor: feed normal, current −7.3 %', () => {
    const faulty = weldSteadily({ faults: [fault('wireSlip', 10)] });
    expect(percent(faulty.reported('weldingCurrent'), good.reported('weldingCurrent'))).toBeCloseTo(-7.3, 0);
    expect(Math.abs(percent(faulty.reported('wireFeedSpeed'), good.reported('wireFeedSpeed')))).toBeLessThan(
      0.5,
    );
  });

  it('read on the wire: both fall together, current by about 0.7 of it', () => {
    const faulty = weldSteadily({ settings: { feedSensor: 'wire' }, faults: [fault('wireSlip', 10)] });
    expect(percent(faulty.reported('wireFeedSpeed'), good.reported('wireFeedSpeed'))).toBeCloseTo(-10, 0);
    expect(percent(faulty.reported('weldingCurrent'), good.reported('weldingCurrent'))).toBeCloseTo(-7.3, 0);
  });
});

describe('other faults', () => {
  it('a worn tip: current 2–8 % down and more restless', () => {
    const faulty = weldSteadily({ faults: [fault('wornTip', 2.5)] });
    const change = percent(faulty.reported('weldingCurrent'), good.reported('weldingCurrent'));
    expect(change).toBeLessThan(-2);
    expect(change).toBeGreaterThan(-8);
    expect(faulty.spread('weldingCurrent')).toBeGreaterThan(1.2 * good.spread('weldingCurrent'));
  });

  it('travel slip: the encoder reads normal, the weld is slower', () => {
    const faulty = weldSteadily({ faults: [fault('travelSlip', 8)] });
    expect(faulty.reported('travelSpeed')).toBeCloseTo(good.reported('travelSpeed'), 1);
    expect(percent(faulty.truth('travelMmS'), good.truth('travelMmS'))).toBeCloseTo(-8, 0);
  });

  it('travel and feed offsets are reported as they are', () => {
    const fast = weldSteadily({ faults: [fault('travelOffset', 10)] });
    expect(percent(fast.reported('travelSpeed'), good.reported('travelSpeed'))).toBeCloseTo(10, 0);
    const slow = weldSteadily({ faults: [fault('feedOffset', -10)] });
    expect(percent(slow.reported('wireFeedSpeed'), good.reported('wireFeedSpeed'))).toBeCloseTo(-10, 0);
  });

  it('a bad earth: voltage at the arc falls by R·I, at the source it does not', () => {
    const faults = [fault('badEarth', 5)];
    const atTip = weldSteadily({ faults });
    expect(atTip.reported('arcVoltage') - good.reported('arcVoltage')).toBeCloseTo(-0.005 * 236, 1);
    const atSource = weldSteadily({ settings: { voltageTap: 'source' }, faults });
    const soundAtSource = weldSteadily({ settings: { voltageTap: 'source' } });
    expect(atSource.reported('arcVoltage')).toBeCloseTo(soundAtSource.reported('arcVoltage'), 1);
  });

  it('a source set otherwise: the voltage moves, the current stays where feed and stick-out put it', () => {
    for (const size of [1, -1]) {
      const faulty = weldSteadily({ faults: [fault('voltageOffset', size)] });
      expect(faulty.reported('arcVoltage') - good.reported('arcVoltage')).toBeCloseTo(size, 1);
      expect(
        Math.abs(percent(faulty.reported('weldingCurrent'), good.reported('weldingCurrent'))),
      ).toBeLessThan(0.5);
    }
  });

  it('the wrong wire: current about 44 % up with 1.2 for 1.0 mm, 31 % down with 1.0 for 1.2 mm', () => {
    // The source would have to be set higher for it: as it stands the wire ends in the pool and 37 % is all that flows.
    const thick = weldSteadily({ faults: [fault('wireSize', 1.2), fault('voltageOffset', 4)] });
    const inThePool = weldSteadily({ faults: [fault('wireSize', 1.2)] });
    expect(percent(inThePool.reported('weldingCurrent'), good.reported('weldingCurrent'))).toBeGreaterThan(
      30,
    );
    expect(inThePool.truth('arcLengthMm')).toBeLessThan(0.1);
    expect(percent(thick.reported('weldingCurrent'), good.reported('weldingCurrent'))).toBeCloseTo(44, -1);
    const setPoint = { ...FILL, wireDiameterMm: 1.2 };
    const thin = weldSteadily({ setPoint, faults: [fault('wireSize', 1)] });
    const sound = weldSteadily({ setPoint });
    expect(percent(thin.reported('weldingCurrent'), sound.reported('weldingCurrent'))).toBeCloseTo(-31, -1);
  });

  it('gas lost: restless, no mean shift, and the flow meter shows it; a draught leaves the meter alone', () => {
    const lost = weldSteadily({ faults: [fault('gasLost', 100)] });
    const draught = weldSteadily({ faults: [fault('draught', 100)] });
    for (const faulty of [lost, draught]) {
      expect(
        Math.abs(percent(faulty.reported('weldingCurrent'), good.reported('weldingCurrent'))),
      ).toBeLessThan(1);
      expect(faulty.spread('arcVoltage')).toBeGreaterThan(2 * good.spread('arcVoltage'));
    }
    expect(lost.reported('gasFlow')).toBeLessThan(0.1);
    expect(draught.reported('gasFlow')).toBeCloseTo(good.reported('gasFlow'), 1);
  });

  it('the wrong pass: feed, voltage, travel and program step together', () => {
    const faulty = weldSteadily({ faults: [fault('wrongPass', 1, { otherPass: 'hot' })] });
    const hot = EXAMPLE_PASSES.find(pass => pass.name === 'hot')!;
    expect(percent(faulty.reported('wireFeedSpeed'), hot.wireFeedMmS)).toBeCloseTo(0, 0);
    expect(percent(faulty.truth('travelMmS'), hot.travelMmS)).toBeCloseTo(0, 0);
    expect(faulty.reported('program')).toBe(2);
  });

  it('a drifting sensor: one channel steps, what truly was stays', () => {
    const faulty = weldSteadily({ faults: [fault('sensorDrift', 5, { channel: 'arcVoltage' })] });
    expect(percent(faulty.reported('arcVoltage'), good.reported('arcVoltage'))).toBeCloseTo(5, 1);
    expect(faulty.truth('voltageV')).toBeCloseTo(good.truth('voltageV'), 6);
    expect(faulty.reported('weldingCurrent')).toBeCloseTo(good.reported('weldingCurrent'), 6);
  });

  it('held values: bit-identical readings while the truth goes on', () => {
    const faulty = weldSteadily({ faults: [fault('heldValue', 1, { fromMm: 30 })] });
    const held = faulty.frames.slice(-50);
    expect(new Set(held.map(frame => JSON.stringify(frame.reported))).size).toBe(1);
    expect(new Set(held.map(frame => frame.truth.currentA)).size).toBe(50);
  });

  it('a fault grows over its ramp and ends where it says', () => {
    const grown = weldSteadily({ faults: [fault('travelOffset', 10, { fromMm: 30, toMm: 60, rampMm: 20 })] });
    const speeds = grown.frames.map(frame => [frame.truth.alongMm, frame.truth.travelMmS] as const);
    const at = (mm: number) => speeds.find(([along]) => along >= mm)![1];
    // The carriage itself wanders by 0.6 % (one standard deviation).
    expect(Math.abs(percent(at(40), FILL.travelMmS) - 5)).toBeLessThan(2.5);
    expect(Math.abs(percent(at(57), FILL.travelMmS) - 10)).toBeLessThan(2.5);
    expect(Math.abs(percent(at(65), FILL.travelMmS))).toBeLessThan(2.5);
  });
});

import { describe, expect, it } from 'vitest';
import { rampedSpeedMmS, reportedSpeedMmS, weldSpeedMmS } from '../../../simulator/physics/carriage.ts';
import { laggedGasLPerMin } from '../../../simulator/physics/gas-flow.ts';
import { oscillationCtwdMm } from '../../../simulator/physics/oscillation.ts';
import {
  halfRingHeatCapacityJPerK,
  nextTemperatureCel,
} from '../../../simulator/physics/pipe-temperature.ts';
import { laggedFeedMmS, reportedFeedMmS, trueFeedMmS } from '../../../simulator/physics/wire-feeder.ts';

describe('carriage', () => {
  it.each([
    // Geometry: a band 20 mm off the surface over-reads by 20 / r_weld.
    [1067, 3.7],
    [610, 6.6],
    [324, 12],
  ])('a band 20 mm off a pipe of %d mm over-reads by %d %%', (outsideDiameterMm, percent) => {
    const weldRadiusMm = outsideDiameterMm / 2;
    const bandRadiusMm = weldRadiusMm + 20;
    const geometry = { weldRadiusMm, bandRadiusMm, referenceRadiusMm: bandRadiusMm };
    const over = reportedSpeedMmS(geometry, 8) / weldSpeedMmS(geometry, 8, 0) - 1;
    expect(over * 100).toBeCloseTo(percent, percent < 10 ? 1 : 0);
  });

  it('slip is in the true speed and not in the reported one', () => {
    const geometry = { weldRadiusMm: 305, bandRadiusMm: 325, referenceRadiusMm: 325 };
    expect(weldSpeedMmS(geometry, 8, 0.05)).toBeCloseTo(0.95 * weldSpeedMmS(geometry, 8, 0), 12);
    expect(reportedSpeedMmS(geometry, 8)).toBe(8);
  });

  it('reaches its speed with a limited acceleration and stays there', () => {
    let speed = 0;
    let steps = 0;
    while (speed < 12) {
      speed = rampedSpeedMmS(speed, 12, 0.001);
      steps++;
    }
    expect(steps / 1000).toBeCloseTo(12 / 200, 2);
    expect(rampedSpeedMmS(12, 12, 0.001)).toBe(12);
  });
});

describe('feeder and gas', () => {
  it('follow as first-order lags: 63 % after one time constant', () => {
    let feed = 0;
    for (let t = 0; t < 60; t++) feed = laggedFeedMmS(feed, 100, 0.001);
    expect(feed).toBeCloseTo(100 * (1 - Math.exp(-1)), 0);
    let gas = 0;
    for (let t = 0; t < 150; t++) gas = laggedGasLPerMin(gas, 20, 0.001);
    expect(gas).toBeCloseTo(20 * (1 - Math.exp(-1)), 1);
  });

  it('slip shows on the wire and not at the motor', () => {
    expect(trueFeedMmS(170, 0.1)).toBeCloseTo(153, 12);
    expect(reportedFeedMmS('motor', 170, 0.1)).toBe(170);
    expect(reportedFeedMmS('wire', 170, 0.1)).toBeCloseTo(153, 12);
  });
});

describe('oscillation', () => {
  it('ripples the stick-out about an unchanged mean, twice a cycle', () => {
    const n = 1000;
    const values = Array.from({ length: n }, (_, k) => oscillationCtwdMm(6, k / n));
    expect(values.reduce((sum, x) => sum + x, 0) / n).toBeCloseTo(0, 12);
    expect(oscillationCtwdMm(6, 0)).toBeCloseTo(0.3, 12);
    // Closest at both sidewalls.
    expect(oscillationCtwdMm(6, 0.25)).toBeCloseTo(-0.3, 9);
    expect(oscillationCtwdMm(6, 0.75)).toBeCloseTo(-0.3, 9);
  });
});

describe('pipe temperature', () => {
  it('keeps the energy balance', () => {
    const capacity = halfRingHeatCapacityJPerK(610, 15.9);
    // Half a ring of 250 mm: π·594.1/2·15.9·250·7.85e-6 kg · 490 J/(kg·K).
    expect(capacity).toBeCloseTo(14_268, -1);
    // Adiabatic for one step: 0.8 of the arc's energy.
    expect((nextTemperatureCel(20, 20, 5000, capacity, 1) - 20) * capacity).toBeCloseTo(4000, 6);
  });

  it('cools towards the air', () => {
    let temperature = 200;
    for (let t = 0; t < 1500; t++) temperature = nextTemperatureCel(temperature, 20, 0, 14_000, 1);
    expect(temperature).toBeCloseTo(20 + 180 * Math.exp(-1), 0);
  });
});

import type { Channel } from '#core/sample/channels';
import { quantise } from '#core/sample/codec';
import type { Pcg32 } from '../random/pcg32.ts';
import { COMMANDS } from './pass-sequence.ts';
import { type RigFrame, STATUS_BITS, type TrueValues } from './rig-frame.ts';
import type { RigModel, Tick } from './rig-model.ts';

/** Standard deviations of one frame's reading (common practice for such transducers, no source). */
const READING_NOISE = {
  weldingCurrent: 0.4,
  arcVoltage: 0.03,
  wireFeedSpeed: 0.15,
  travelSpeed: 0.01,
  gasFlow: 0.06,
  temperature: 0.25,
} as const;

/**
 * Turns ticks of a rig into frames: means over the interval, sensor gain and noise, quantised once to each
 * channel's resolution, so that no last bit of the physics reaches the bytes.
 */
export class FrameMaker {
  private readonly model: RigModel;
  private readonly random: Pcg32;
  private wireMm = 0;
  private travelMm = 0;
  private last: RigFrame['reported'] | null = null;

  constructor(model: RigModel, random: Pcg32) {
    this.model = model;
    this.random = random;
  }

  /** The frame of `ticks`, which began at `startUs` of simulated time. */
  frameOf(ticks: readonly Tick[], startUs: number): RigFrame {
    const mean = (pick: (tick: Tick) => number) =>
      ticks.reduce((sum, tick) => sum + pick(tick), 0) / ticks.length;
    const lengthS = ticks.length / 1000;
    const { model } = this;
    const truth: TrueValues = {
      currentA: mean(tick => tick.currentA),
      voltageV: mean(tick => tick.voltageV),
      powerW: mean(tick => tick.powerW),
      feedMmS: mean(tick => tick.feedMmS),
      travelMmS: mean(tick => tick.travelMmS),
      alongMm: model.runOutMm,
      ctwdMm: mean(tick => tick.ctwdMm),
      arcLengthMm: mean(tick => tick.arcLengthMm),
      gasLPerMin: mean(tick => tick.gasLPerMin),
      temperatureCel: model.temperatureCel,
    };
    const gain = (channel: Channel) => model.effect.gains[channel] ?? 1;
    const read = (channel: keyof typeof READING_NOISE, value: number) =>
      quantise(channel, value * gain(channel) + READING_NOISE[channel] * this.random.nextBell());
    // Every reading draws its noise, moving or not: what is welded never shifts the draws of what follows.
    const feed = read(
      'wireFeedSpeed',
      mean(tick => tick.reportedFeedMmS),
    );
    const travel = read(
      'travelSpeed',
      mean(tick => tick.reportedTravelMmS),
    );
    const feeding = ticks.some(tick => tick.reportedFeedMmS > 0);
    const travelling = ticks.some(tick => tick.reportedTravelMmS !== 0);
    const backing = ticks.some(tick => tick.reportedTravelMmS < 0);
    this.wireMm += (feeding ? mean(tick => tick.reportedFeedMmS) : 0) * gain('wireLength') * lengthS;
    this.travelMm += mean(tick => tick.reportedTravelMmS) * gain('travelDistance') * lengthS;
    const burning = truth.currentA > 0;
    const point = model.setPoint;
    const oscillates = burning && (point?.oscillationWidthMm ?? 0) > 0;
    const fresh: RigFrame['reported'] = {
      weldingCurrent: read('weldingCurrent', truth.currentA),
      arcVoltage: read(
        'arcVoltage',
        mean(tick => tick.tapVoltageV),
      ),
      power: quantise('power', mean(tick => tick.tapPowerW) * gain('weldingCurrent') * gain('arcVoltage')),
      wireFeedSpeed: feeding ? Math.max(0, feed) : 0,
      wireLength: quantise('wireLength', this.wireMm),
      travelSpeed: travelling ? (backing ? travel : Math.max(0, travel)) : 0,
      travelDistance: quantise('travelDistance', this.travelMm),
      gasFlow: Math.max(0, read('gasFlow', truth.gasLPerMin)),
      temperature: read('temperature', truth.temperatureCel),
      oscillationWidth: oscillates
        ? quantise('oscillationWidth', (point?.oscillationWidthMm ?? 0) * model.effect.weaveFactor)
        : 0,
      oscillationFrequency: oscillates ? quantise('oscillationFrequency', point?.oscillationHz ?? 0) : 0,
      program: point?.program ?? 0,
      status: statusOf(model, feeding, travelling, oscillates),
    };
    const reported = model.effect.held && this.last ? this.last : fresh;
    this.last = reported;
    const { silent } = model.effect;
    return { startUs, lengthUs: ticks.length * 1000, phase: model.phase, reported, truth, silent };
  }
}

function statusOf(model: RigModel, feeding: boolean, travelling: boolean, oscillates: boolean): number {
  const commands = COMMANDS[model.phase];
  return (
    (commands.gas ? STATUS_BITS.gas : 0) |
    (commands.output ? STATUS_BITS.output : 0) |
    (feeding ? STATUS_BITS.feeding : 0) |
    (travelling ? STATUS_BITS.travelling : 0) |
    (oscillates ? STATUS_BITS.oscillating : 0)
  );
}

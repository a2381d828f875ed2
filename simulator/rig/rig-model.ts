import { type Fault, type FaultEffect, faultEffectAt, NO_FAULT } from '../faults/fault.ts';
import { burnOffOf } from '../physics/burn-off.ts';
import {
  type CarriageGeometry,
  rampedSpeedMmS,
  reportedSpeedMmS,
  weldSpeedMmS,
} from '../physics/carriage.ts';
import { type Electrode, type ElectrodeInput, stepElectrode, tipVoltageV } from '../physics/electrode.ts';
import { laggedGasLPerMin } from '../physics/gas-flow.ts';
import { oscillationCtwdMm } from '../physics/oscillation.ts';
import { halfRingHeatCapacityJPerK, nextTemperatureCel } from '../physics/pipe-temperature.ts';
import { CONSTANT_VOLTAGE_SOURCE } from '../physics/power-source.ts';
import { laggedFeedMmS, reportedFeedMmS, trueFeedMmS } from '../physics/wire-feeder.ts';
import { randomStream } from '../random/random-streams.ts';
import { SlowNoise } from '../random/slow-noise.ts';
import {
  COMMANDS,
  nextSequence,
  SEQUENCE_IDLE,
  SEQUENCE_TIMES,
  type SequencePhase,
  type SequenceState,
} from './pass-sequence.ts';
import type { PlannedPass } from './planned-pass.ts';
import type { RigSettings } from './rig-settings.ts';
import { type OperatingPoint, operatingPointOf, type SetPoint } from './set-point.ts';
import { StopsOfPass } from './stops-of-pass.ts';
import { TransferProcess } from './transfer-process.ts';

/** Controls and mechanics move in steps of 1 ms, the arc in steps of 0.1 ms. */
export const TICK_S = 0.001;
const ARC_STEPS = 10;
const ARC_STEP_S = TICK_S / ARC_STEPS;

const RUN_IN_MM_S = 40;
/** The wire is cut to leave this much to the work before a start. */
const WIRE_GAP_MM = 3;

/** Means over one tick, true and as the rig's transducers see them (before sensor noise). */
export interface Tick {
  readonly currentA: number;
  readonly voltageV: number;
  readonly powerW: number;
  readonly tapVoltageV: number;
  readonly tapPowerW: number;
  readonly feedMmS: number;
  readonly reportedFeedMmS: number;
  readonly travelMmS: number;
  readonly reportedTravelMmS: number;
  readonly gasLPerMin: number;
  readonly ctwdMm: number;
  readonly arcLengthMm: number;
}

/**
 * One rig with its source, wire, arc, carriage and pipe. Deterministic: the same settings, seed and plan
 * give the same ticks on any machine.
 */
export class RigModel {
  readonly settings: RigSettings;
  private readonly passes: ReadonlyMap<string, SetPoint>;
  private readonly points = new Map<SetPoint, OperatingPoint>();
  private readonly transfer: TransferProcess;
  private readonly feedWander: SlowNoise;
  private readonly travelWander: SlowNoise;
  private readonly stickOutWander: SlowNoise;
  private readonly tipWander: SlowNoise;
  private readonly heatCapacityJPerK: number;
  private readonly geometry: CarriageGeometry;

  private sequence: SequenceState = SEQUENCE_IDLE;
  private plan: PlannedPass | null = null;
  private faults: readonly Fault[] = [];
  private stops = new StopsOfPass([]);
  private electrode: Electrode = { arc: 'off', currentA: 0, extensionMm: 0 };
  private motorFeedMmS = 0;
  private bandMmS = 0;
  private gasLPerMin = 0;
  private oscillationTurns = 0;
  private alongMm = 0;
  private temperatureNowCel: number;
  private effectNow: FaultEffect = NO_FAULT;

  /** `passes`: every set-point by name, for a rig that runs another pass's program by mistake. */
  constructor(settings: RigSettings, seed: number, passes: ReadonlyMap<string, SetPoint>) {
    this.settings = settings;
    this.passes = passes;
    const stream = (purpose: string) => randomStream(seed, settings.id, purpose);
    this.transfer = new TransferProcess(stream('transfer'), ARC_STEP_S);
    this.feedWander = new SlowNoise(stream('wire feed'), 0.004, 1, TICK_S);
    this.travelWander = new SlowNoise(stream('carriage'), 0.006, 1.5, TICK_S);
    this.stickOutWander = new SlowNoise(stream('stick-out'), 0.15, 2, TICK_S);
    this.tipWander = new SlowNoise(stream('contact tip'), 0.4, 0.02, TICK_S);
    this.heatCapacityJPerK = halfRingHeatCapacityJPerK(settings.outsideDiameterMm, settings.wallThicknessMm);
    this.temperatureNowCel = settings.preheatCel;
    this.geometry = {
      weldRadiusMm: settings.outsideDiameterMm / 2,
      bandRadiusMm: settings.bandRadiusMm,
      referenceRadiusMm: settings.referenceRadiusMm,
    };
  }

  get phase(): SequencePhase {
    return this.sequence.phase;
  }

  get effect(): FaultEffect {
    return this.effectNow;
  }

  /** True run-out of the running or last pass, mm. */
  get runOutMm(): number {
    return this.alongMm;
  }

  get temperatureCel(): number {
    return this.temperatureNowCel;
  }

  /** The program that runs now: another pass's where that is the fault. */
  get setPoint(): SetPoint | null {
    const other = this.effectNow.otherPass;
    return (other === null ? undefined : this.passes.get(other)) ?? this.plan?.setPoint ?? null;
  }

  /** Selects the pass's program; `begin` then starts it. */
  select(plan: PlannedPass): void {
    this.plan = plan;
    this.faults = plan.faults;
    this.stops = new StopsOfPass(plan.faults);
    // Of the last pass's faults only a stuck device outlives it, until the arc burns again.
    this.effectNow = { ...NO_FAULT, held: this.effectNow.held };
  }

  /** Something more goes wrong with the running pass. */
  inject(fault: Fault): void {
    this.faults = [...this.faults, fault];
    if (fault.kind === 'stopRestart') this.stops.add(fault, this.sequence.stopsMade);
  }

  /** Output, wire and travel off at once; the gas flows on as after a pass. */
  breakOff(): void {
    if (this.sequence.phase === 'idle') return;
    this.sequence = { ...this.sequence, phase: 'gasAfter', inPhaseS: 0, ending: true };
  }

  /** The pipe is another one now, at preheat. */
  newPipe(): void {
    this.temperatureNowCel = this.settings.preheatCel;
  }

  /** The next millisecond. `begin` starts the selected pass from idle. */
  tick(begin: boolean): Tick {
    const { plan } = this;
    if (begin && plan) {
      this.alongMm = 0;
      this.effectNow = NO_FAULT;
    }
    const wasIdle = this.sequence.phase !== 'strike';
    this.sequence = nextSequence(
      this.sequence,
      {
        stepS: TICK_S,
        start: begin && plan !== null,
        arcBurning: this.electrode.arc === 'burning',
        alongMm: this.alongMm,
        lengthMm: plan?.lengthMm ?? 0,
        stops: this.stops.list,
      },
      SEQUENCE_TIMES,
    );
    if (wasIdle && this.sequence.phase === 'strike') this.cutWire();
    if (plan && this.sequence.phase !== 'idle') this.effectNow = faultEffectAt(this.faults, this.alongMm);
    return this.move();
  }

  private cutWire(): void {
    const ctwdMm = this.plan?.setPoint.ctwdMm ?? 0;
    this.electrode = { arc: 'off', currentA: 0, extensionMm: ctwdMm - WIRE_GAP_MM };
    this.transfer.rest();
  }

  private move(): Tick {
    const { settings, effectNow: effect } = this;
    const commands = COMMANDS[this.sequence.phase];
    const point = this.setPoint;
    const wireTarget = commands.runIn ? RUN_IN_MM_S : commands.feedShare * (point?.wireFeedMmS ?? 0);
    const feedTarget = wireTarget * effect.feedFactor * (1 + this.feedWander.next());
    this.motorFeedMmS =
      wireTarget === 0 && this.motorFeedMmS < 1 ? 0 : laggedFeedMmS(this.motorFeedMmS, feedTarget, TICK_S);
    const feedMmS = trueFeedMmS(this.motorFeedMmS, effect.wireSlip);

    const { geometry } = this;
    const bandRatio = geometry.bandRadiusMm / geometry.weldRadiusMm;
    const weldTargetMmS = commands.travel
      ? (point?.travelMmS ?? 0)
      : this.stops.repositionMmS(this.sequence, this.alongMm);
    const travelTarget = weldTargetMmS * bandRatio;
    const wanted = travelTarget * effect.travelFactor * (1 + this.travelWander.next());
    this.bandMmS = rampedSpeedMmS(this.bandMmS, wanted, TICK_S);
    const travelMmS = weldSpeedMmS(geometry, this.bandMmS, effect.travelSlip);
    this.alongMm += travelMmS * TICK_S;

    const oscillating = this.electrode.arc === 'burning' && (point?.oscillationWidthMm ?? 0) > 0;
    if (oscillating) this.oscillationTurns += (point?.oscillationHz ?? 0) * TICK_S;
    const widthMm = (point?.oscillationWidthMm ?? 0) * effect.weaveFactor;
    const swing = oscillating ? oscillationCtwdMm(widthMm, this.oscillationTurns) : 0;
    const recess = effect.tipRecessMm * (1 + this.tipWander.next());
    // The torch stands where the pass put it, whatever program runs.
    const setMm = this.plan?.setPoint.ctwdMm ?? 0;
    const ctwdMm = setMm + effect.ctwdAddMm + recess + swing + this.stickOutWander.next();

    const gasTarget = commands.gas ? (point?.gasLPerMin ?? 0) : 0;
    this.gasLPerMin = laggedGasLPerMin(this.gasLPerMin, gasTarget, TICK_S);

    const electric = this.burn(point, commands.output, feedMmS, ctwdMm);
    this.temperatureNowCel = nextTemperatureCel(
      this.temperatureNowCel,
      settings.airCel,
      electric.powerW,
      this.heatCapacityJPerK,
      TICK_S,
    );
    return {
      currentA: electric.currentA,
      voltageV: electric.voltageV,
      powerW: electric.powerW,
      tapVoltageV: electric.tapVoltageV,
      tapPowerW: electric.tapPowerW,
      feedMmS,
      reportedFeedMmS: reportedFeedMmS(settings.feedSensor, this.motorFeedMmS, effect.wireSlip),
      travelMmS,
      reportedTravelMmS: reportedSpeedMmS(geometry, this.bandMmS),
      gasLPerMin: this.gasLPerMin * effect.gasFactor,
      ctwdMm,
      arcLengthMm: this.electrode.arc === 'burning' ? Math.max(0, ctwdMm - this.electrode.extensionMm) : 0,
    };
  }

  private burn(point: SetPoint | null, output: boolean, feedMmS: number, ctwdMm: number) {
    const { settings, effectNow: effect } = this;
    const sum = { currentA: 0, voltageV: 0, powerW: 0, tapVoltageV: 0, tapPowerW: 0 };
    if (point === null || (!output && this.electrode.arc === 'off' && feedMmS === 0)) return sum;
    const operating = this.operatingPoint(point);
    const source = CONSTANT_VOLTAGE_SOURCE;
    // A voltage tap at the source sees everything beyond its terminals, a bad earth included.
    const atSource = settings.voltageTap === 'source' || effect.tapAtSource;
    const beyondTapOhm = atSource ? settings.leadOhm + effect.returnOhm : 0;
    const input: ElectrodeInput = {
      wire: effect.wireDiameterMm === null ? operating.wire : burnOffOf(effect.wireDiameterMm),
      wireDiameterMm: effect.wireDiameterMm ?? point.wireDiameterMm,
      ctwdMm,
      feedMmS,
      settingV: output ? operating.settingV + effect.settingAddV : null,
      openCircuitV: source.openCircuitV,
      circuitOhm: source.slopeVPerA + settings.leadOhm + effect.returnOhm,
      inductanceH: source.inductanceH,
      formFactor2: this.transfer.formFactor2(point.transfer, this.electrode.currentA, point.tipVoltageV),
    };
    for (let step = 0; step < ARC_STEPS; step++) {
      this.electrode = stepElectrode(this.electrode, input, ARC_STEP_S);
      const tipV = tipVoltageV(this.electrode, input);
      if (this.electrode.arc === 'off') {
        sum.voltageV += tipV;
        sum.tapVoltageV += tipV;
        continue;
      }
      const slice = this.transfer.next(point.transfer, this.electrode.currentA, tipV, effect.restlessness);
      sum.currentA += slice.currentA;
      sum.voltageV += slice.voltageV;
      sum.powerW += slice.powerW;
      sum.tapVoltageV += slice.voltageV + beyondTapOhm * slice.currentA;
      sum.tapPowerW += slice.powerW + beyondTapOhm * slice.currentA * slice.currentA;
    }
    return {
      currentA: sum.currentA / ARC_STEPS,
      voltageV: sum.voltageV / ARC_STEPS,
      powerW: sum.powerW / ARC_STEPS,
      tapVoltageV: sum.tapVoltageV / ARC_STEPS,
      tapPowerW: sum.tapPowerW / ARC_STEPS,
    };
  }

  private operatingPoint(point: SetPoint): OperatingPoint {
    let found = this.points.get(point);
    if (!found) {
      found = operatingPointOf(point, CONSTANT_VOLTAGE_SOURCE, this.settings.leadOhm);
      this.points.set(point, found);
    }
    return found;
  }
}

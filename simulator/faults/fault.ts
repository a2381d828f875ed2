import type { Channel } from '#core/sample/channels';

/**
 * The fault catalogue as knobs: what each one changes in the model, never in the reported numbers
 * directly (except where the fault is in the reporting itself). Sizes carry their unit.
 */
export const FAULT_UNITS = {
  /** CTWD grows. */
  stickOutGrowth: 'mm',
  /** The current passes into the wire further up a worn tip, and wanders. */
  wornTip: 'mm',
  /** Wire feed set off by so much; the rig reports it as it is. */
  feedOffset: '%',
  /** The source set or giving so much more. */
  voltageOffset: 'V',
  /** Wire of this diameter on the spool instead of the pass's. */
  wireSize: 'mm',
  /** The rolls slip on the wire. Whether the reported feed shows it depends on the feed sensor. */
  wireSlip: '%',
  /** Travel set off by so much; the rig reports it as it is. */
  travelOffset: '%',
  /** The carriage slips on its band; an encoder on the motor does not see it. */
  travelSlip: '%',
  /** Extra resistance in the return lead or clamp. */
  badEarth: 'mOhm',
  /** Share of the shielding gas that no longer reaches the arc. */
  gasLost: '%',
  /** A draught: the arc is disturbed, the flow meter shows nothing. */
  draught: '%',
  /** Another pass's program is running: `otherPass`. */
  wrongPass: '1',
  /** One channel reads so much too high: `channel`. */
  sensorDrift: '%',
  /** The device repeats its last reading. */
  heldValue: '1',
  /** The arc stops and is restarted after so long; `overlapMm` says where. */
  stopRestart: 's',
  /** Voltage is tapped at the source's terminals although the rig is set up for tip to work. */
  wrongTap: '1',
  /** The torch swings so much wider; the rig reports it. */
  weaveWidth: '%',
  /** The device sends nothing. */
  deviceSilent: '1',
  /** The crew begins this pass so much later than planned. */
  lateStart: 's',
} as const;

export type FaultKind = keyof typeof FAULT_UNITS;
export const FAULT_KINDS = Object.keys(FAULT_UNITS) as readonly FaultKind[];

/** One fault in one pass: how big, and where along it. It grows over `rampMm` and ends at `toMm`. */
export interface Fault {
  readonly kind: FaultKind;
  readonly size: number;
  readonly fromMm: number;
  /** Null: to the end of the pass and until the next begins. */
  readonly toMm: number | null;
  readonly rampMm: number;
  readonly otherPass: string | null;
  readonly channel: Channel | null;
  /** stopRestart: the carriage goes back so far before the restart, mm; negative: it leaves so much unwelded. */
  readonly overlapMm?: number;
}

/** Everything that faults change, summed up for one place of one pass. */
export interface FaultEffect {
  readonly ctwdAddMm: number;
  readonly tipRecessMm: number;
  readonly feedFactor: number;
  readonly settingAddV: number;
  /** Null: the pass's own wire. */
  readonly wireDiameterMm: number | null;
  readonly wireSlip: number;
  readonly travelFactor: number;
  readonly travelSlip: number;
  readonly returnOhm: number;
  readonly gasFactor: number;
  /** 1 is a quiet process. */
  readonly restlessness: number;
  readonly otherPass: string | null;
  readonly gains: { readonly [K in Channel]?: number };
  readonly held: boolean;
  /** Voltage is read at the source, whatever the rig was set up for. */
  readonly tapAtSource: boolean;
  readonly weaveFactor: number;
  /** The device sends nothing. */
  readonly silent: boolean;
}

export const NO_FAULT: FaultEffect = {
  ctwdAddMm: 0,
  tipRecessMm: 0,
  feedFactor: 1,
  settingAddV: 0,
  wireDiameterMm: null,
  wireSlip: 0,
  travelFactor: 1,
  travelSlip: 0,
  returnOhm: 0,
  gasFactor: 1,
  restlessness: 1,
  otherPass: null,
  gains: {},
  held: false,
  tapAtSource: false,
  weaveFactor: 1,
  silent: false,
};

/** The effect of `faults` at `alongMm` of their pass. Once a millisecond: one object, changed in place. */
export function faultEffectAt(faults: readonly Fault[], alongMm: number): FaultEffect {
  if (faults.length === 0) return NO_FAULT;
  const effect: Changing = { ...NO_FAULT };
  for (const fault of faults) {
    if (alongMm < fault.fromMm || (fault.toMm !== null && alongMm >= fault.toMm)) continue;
    const grown = fault.rampMm > 0 ? Math.min(1, (alongMm - fault.fromMm) / fault.rampMm) : 1;
    change(effect, fault, fault.size * grown);
  }
  return effect;
}

type Changing = { -readonly [K in keyof FaultEffect]: FaultEffect[K] };

/** Loss of all gas makes the arc about four times as restless (common practice, no source). */
const RESTLESSNESS_OF_LOST_GAS = 3;

function change(effect: Changing, fault: Fault, size: number): void {
  const share = size / 100;
  switch (fault.kind) {
    case 'stickOutGrowth':
      effect.ctwdAddMm += size;
      return;
    case 'wornTip':
      effect.tipRecessMm += size;
      effect.restlessness += size / 2;
      return;
    case 'feedOffset':
      effect.feedFactor *= 1 + share;
      return;
    case 'voltageOffset':
      effect.settingAddV += size;
      return;
    case 'wireSize':
      // A diameter does not grow: the wire on the spool is the other one or it is not.
      effect.wireDiameterMm = fault.size;
      return;
    case 'wireSlip':
      effect.wireSlip = 1 - (1 - effect.wireSlip) * (1 - share);
      return;
    case 'travelOffset':
      effect.travelFactor *= 1 + share;
      return;
    case 'travelSlip':
      effect.travelSlip = 1 - (1 - effect.travelSlip) * (1 - share);
      return;
    case 'badEarth':
      effect.returnOhm += size / 1000;
      return;
    case 'gasLost':
      effect.gasFactor *= 1 - share;
      effect.restlessness += RESTLESSNESS_OF_LOST_GAS * share;
      return;
    case 'draught':
      effect.restlessness += RESTLESSNESS_OF_LOST_GAS * share;
      return;
    case 'wrongPass':
      effect.otherPass = fault.otherPass;
      return;
    case 'sensorDrift':
      if (fault.channel === null) return;
      effect.gains = {
        ...effect.gains,
        [fault.channel]: (effect.gains[fault.channel] ?? 1) * (1 + share),
      };
      return;
    case 'heldValue':
      effect.held = true;
      return;
    case 'wrongTap':
      effect.tapAtSource = true;
      return;
    case 'weaveWidth':
      effect.weaveFactor *= 1 + share;
      return;
    case 'deviceSilent':
      effect.silent = true;
      return;
    case 'stopRestart':
    case 'lateStart':
      // The pass's sequence and the timetable do it.
      return;
  }
}

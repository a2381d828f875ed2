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
  /** The arc stops and is restarted after so long. */
  stopRestart: 's',
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
};

/** The effect of `faults` at `alongMm` of their pass. */
export function faultEffectAt(faults: readonly Fault[], alongMm: number): FaultEffect {
  let effect = NO_FAULT;
  for (const fault of faults) {
    if (alongMm < fault.fromMm || (fault.toMm !== null && alongMm >= fault.toMm)) continue;
    const grown = fault.rampMm > 0 ? Math.min(1, (alongMm - fault.fromMm) / fault.rampMm) : 1;
    effect = { ...effect, ...changeOf(fault, fault.size * grown, effect) };
  }
  return effect;
}

/** Loss of all gas makes the arc about four times as restless (common practice, no source). */
const RESTLESSNESS_OF_LOST_GAS = 3;

function changeOf(fault: Fault, size: number, now: FaultEffect): Partial<FaultEffect> {
  const share = size / 100;
  switch (fault.kind) {
    case 'stickOutGrowth':
      return { ctwdAddMm: now.ctwdAddMm + size };
    case 'wornTip':
      return { tipRecessMm: now.tipRecessMm + size, restlessness: now.restlessness + size / 2 };
    case 'feedOffset':
      return { feedFactor: now.feedFactor * (1 + share) };
    case 'voltageOffset':
      return { settingAddV: now.settingAddV + size };
    case 'wireSize':
      // A diameter does not grow: the wire on the spool is the other one or it is not.
      return { wireDiameterMm: fault.size };
    case 'wireSlip':
      return { wireSlip: 1 - (1 - now.wireSlip) * (1 - share) };
    case 'travelOffset':
      return { travelFactor: now.travelFactor * (1 + share) };
    case 'travelSlip':
      return { travelSlip: 1 - (1 - now.travelSlip) * (1 - share) };
    case 'badEarth':
      return { returnOhm: now.returnOhm + size / 1000 };
    case 'gasLost':
      return {
        gasFactor: now.gasFactor * (1 - share),
        restlessness: now.restlessness + RESTLESSNESS_OF_LOST_GAS * share,
      };
    case 'draught':
      return { restlessness: now.restlessness + RESTLESSNESS_OF_LOST_GAS * share };
    case 'wrongPass':
      return { otherPass: fault.otherPass };
    case 'sensorDrift':
      return fault.channel === null
        ? {}
        : { gains: { ...now.gains, [fault.channel]: (now.gains[fault.channel] ?? 1) * (1 + share) } };
    case 'heldValue':
      return { held: true };
    case 'stopRestart':
      return {};
  }
}

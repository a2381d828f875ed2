/** Every fault that the simulator has and that is judged along the weld, with the sign that shows it best. */
import { CAUSES } from '#core/drift/looks-like-parts';
import type { Fault, FaultKind } from '../../../simulator/faults/fault.ts';
import type { RigSettings } from '../../../simulator/rig/rig-settings.ts';
import type { SetPoint } from '../../../simulator/rig/set-point.ts';
import { setPointOf } from '../simulated-pass.ts';
import { faultOf } from './good-variation.ts';

/** Shift of the window mean of the main channel, in standard deviations of good windows. */
export const SEVERITIES = { mild: 2, medium: 4, severe: 8 } as const;
export type SeverityName = keyof typeof SEVERITIES;

export type MainChannel =
  | 'weldingCurrent'
  | 'arcVoltage'
  | 'wireFeedSpeed'
  | 'travelSpeed'
  | 'gasFlow'
  | 'currentSpread';

export type RigName = 'feed at the motor' | 'feed on the wire' | 'tap at the source';
export const RIGS: Readonly<Record<RigName, Pick<RigSettings, 'feedSensor' | 'voltageTap'>>> = {
  'feed at the motor': { feedSensor: 'motor', voltageTap: 'tip' },
  'feed on the wire': { feedSensor: 'wire', voltageTap: 'tip' },
  'tap at the source': { feedSensor: 'motor', voltageTap: 'source' },
};

export interface TrustFault {
  readonly id: string;
  readonly title: string;
  readonly rig: RigName;
  readonly main: MainChannel;
  /** Of `size`; null: it has none and is the same at every severity. */
  readonly unit: string | null;
  /** Smallest and largest size the search for a severity tries; equal where there is no size. */
  readonly sizes: readonly [number, number];
  /** Sizes that are not searched for. */
  readonly given?: Readonly<Record<SeverityName, number>>;
  /** Either sign is drawn. */
  readonly bothWays: boolean;
  readonly plan: (size: number, where: Pick<Fault, 'fromMm' | 'rampMm'>, pass: SetPoint) => readonly Fault[];
  /** Causes that are right for it. */
  readonly right: readonly string[];
  /** There from the first arc on instead of beginning in the pass. */
  readonly fromStart: boolean;
  /** False: nothing that the rig reads changes. */
  readonly hasSign: boolean;
  /** A step inside the limits is what an operator may do in a fill or cap pass: told as a trim. */
  readonly mayBeTrim: boolean;
}

const plain =
  (kind: FaultKind): TrustFault['plan'] =>
  (size, where) => [faultOf(kind, size, where)];

const base = {
  rig: 'feed at the motor',
  main: 'weldingCurrent',
  bothWays: false,
  fromStart: false,
  hasSign: true,
  mayBeTrim: false,
} as const;

const sensor = (
  channel: Exclude<MainChannel, 'currentSpread'>,
  title: string,
  also: readonly string[],
): TrustFault => ({
  ...base,
  id: `sensor ${channel}`,
  title,
  main: channel,
  unit: '%',
  sizes: [0.05, 40],
  bothWays: true,
  plan: (size, where) => [faultOf('sensorDrift', size, { ...where, channel })],
  right: [CAUSES.sensor, ...also],
});

/** Another pass's program runs, trimmed so far back that `size` % of the way to its set is left, as in the wrong-pass figures. */
const towardsOther: TrustFault['plan'] = (size, where, pass) => {
  const other = setPointOf(pass.name === 'hot' ? 'fill 1' : 'hot');
  const back = 1 - size / 100;
  const percent = (own: number, others: number): number => back * (own / others - 1) * 100;
  return [
    faultOf('wrongPass', 1, { ...where, otherPass: other.name }),
    faultOf('feedOffset', percent(pass.wireFeedMmS, other.wireFeedMmS), where),
    faultOf('travelOffset', percent(pass.travelMmS, other.travelMmS), where),
    faultOf('voltageOffset', back * (pass.tipVoltageV - other.tipVoltageV), where),
  ];
};

export const TRUST_FAULTS: readonly TrustFault[] = [
  {
    ...base,
    id: 'wrong pass',
    title: 'wrong pass, part of the way to another’s set',
    main: 'wireFeedSpeed',
    unit: '% of the way',
    sizes: [1, 100],
    given: { mild: 25, medium: 50, severe: 100 },
    plan: towardsOther,
    right: [CAUSES.wrongPass],
    fromStart: true,
  },
  {
    ...base,
    id: 'stick-out longer',
    title: 'stick-out longer',
    unit: 'mm',
    sizes: [0.2, 12],
    plan: plain('stickOutGrowth'),
    right: [CAUSES.stickOutLonger],
  },
  {
    ...base,
    id: 'stick-out shorter',
    title: 'stick-out shorter',
    unit: 'mm',
    sizes: [-6, -0.2],
    plan: plain('stickOutGrowth'),
    right: [CAUSES.stickOutShorter],
  },
  {
    ...base,
    id: 'worn tip',
    title: 'worn contact tip',
    unit: 'mm',
    sizes: [0.2, 12],
    plan: plain('wornTip'),
    right: [CAUSES.wornTip],
  },
  {
    ...base,
    id: 'slip motor',
    title: 'wire slip, feed read at the motor',
    unit: '%',
    sizes: [0.2, 40],
    plan: plain('wireSlip'),
    right: [CAUSES.slipAtMotor],
  },
  {
    ...base,
    id: 'slip wire',
    title: 'wire slip, feed read on the wire',
    rig: 'feed on the wire',
    main: 'wireFeedSpeed',
    unit: '%',
    sizes: [0.1, 40],
    plan: plain('wireSlip'),
    right: [CAUSES.slipOnWire],
  },
  {
    ...base,
    id: 'feed set',
    title: 'wire feed set otherwise',
    main: 'wireFeedSpeed',
    unit: '%',
    sizes: [0.1, 40],
    bothWays: true,
    plan: plain('feedOffset'),
    right: [CAUSES.feedSet],
  },
  {
    ...base,
    id: 'voltage set',
    title: 'voltage set otherwise',
    main: 'arcVoltage',
    unit: 'V',
    sizes: [0.03, 5],
    bothWays: true,
    plan: plain('voltageOffset'),
    right: [CAUSES.voltageSet],
  },
  {
    ...base,
    id: 'travel set',
    title: 'travel set otherwise',
    main: 'travelSpeed',
    unit: '%',
    sizes: [0.1, 40],
    bothWays: true,
    plan: plain('travelOffset'),
    right: [CAUSES.travelSet],
    mayBeTrim: true,
  },
  {
    ...base,
    id: 'bad earth',
    title: 'bad earth, voltage read at the arc',
    main: 'arcVoltage',
    unit: 'mΩ',
    sizes: [0.1, 25],
    plan: plain('badEarth'),
    right: [CAUSES.badEarth],
  },
  {
    ...base,
    id: 'gas lost',
    title: 'shielding gas lost',
    main: 'gasFlow',
    unit: '%',
    sizes: [0.5, 100],
    plan: plain('gasLost'),
    right: [CAUSES.gasOrDraught],
  },
  {
    ...base,
    id: 'draught',
    title: 'draught, flow meter normal',
    main: 'currentSpread',
    unit: '%',
    sizes: [1, 100],
    plan: plain('draught'),
    right: [CAUSES.gasOrDraught],
  },
  {
    ...base,
    id: 'wire size',
    title: 'wrong wire size, 1.2 for 1.0 mm',
    unit: null,
    sizes: [1.2, 1.2],
    plan: plain('wireSize'),
    right: [CAUSES.wireSize],
    fromStart: true,
  },
  sensor('weldingCurrent', 'current sensor drifts', []),
  sensor('arcVoltage', 'voltage sensor drifts', []),
  sensor('wireFeedSpeed', 'wire feed sensor drifts', []),
  {
    ...base,
    id: 'bad earth source',
    title: 'bad earth, voltage read at the source',
    rig: 'tap at the source',
    main: 'arcVoltage',
    unit: 'mΩ',
    sizes: [5, 5],
    plan: plain('badEarth'),
    right: [],
    hasSign: false,
  },
  {
    ...base,
    id: 'travel slip',
    title: 'carriage slips, encoder on its motor',
    main: 'travelSpeed',
    unit: '%',
    sizes: [8, 8],
    plan: plain('travelSlip'),
    right: [],
    hasSign: false,
  },
];

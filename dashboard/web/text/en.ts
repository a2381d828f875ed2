import type { Side } from '#core/messages/common';
import type { LimitBasis } from '#core/procedure/procedure';
import { enAccounts } from './en-accounts.ts';
import { enAlarms } from './en-alarms.ts';
import { enChanges } from './en-changes.ts';
import { enDispositions } from './en-dispositions.ts';
import { enExport } from './en-export.ts';
import { enJointEntries } from './en-joint-entries.ts';
import { enJoints } from './en-joints.ts';
import { enProcedures } from './en-procedures.ts';
import { enReady } from './en-ready.ts';
import { enReview } from './en-review.ts';
import { enRigEvents } from './en-rig-events.ts';
import { enScreens } from './en-screens.ts';
import { enSettings } from './en-settings.ts';
import { enShift } from './en-shift.ts';
import { enSums } from './en-sums.ts';
import { enTraining } from './en-training.ts';
import { enTrendAt } from './en-trend-at.ts';
import { enTrends } from './en-trends.ts';
import { enTruck } from './en-truck.ts';
import { enVerify } from './en-verify.ts';
import { enWork } from './en-work.ts';
import { formats } from './format.ts';

const { plural } = formats('en');

/** The English catalogue. Other languages have exactly these keys; numbers come in as text, already formatted. */
export const en = {
  language: 'en',
  product: 'Girthlog',
  liveTitle: 'Live view',
  back: 'Back to the live view',
  skipToMain: 'Skip to the sides',

  side: (side: Side) => `SIDE ${side}`,
  sideOf: (side: Side) => `side ${side}`,
  noSide: 'NO SIDE',
  rig: (rig: string) => `${rig}`,

  arcOn: 'ARC ON',
  arcOff: 'ARC OFF',
  noData: (time: string | null) => (time === null ? 'NO DATA' : `NO DATA ${time}`),
  edgeLost: (time: string | null) => (time === null ? 'EDGE LOST' : `EDGE LOST ${time}`),
  edgeStopped: (time: string | null) => (time === null ? 'EDGE STOPPED' : `EDGE STOPPED ${time}`),

  noDataBecause: {
    link: (time: string | null) =>
      time === null
        ? 'No connection to the dashboard server.'
        : `No connection to the dashboard server since ${time}.`,
    edge: 'The edge is not connected. What it records is kept there until it returns.',
    silent: 'Nothing arrives from this rig.',
    source: 'The rig’s signal is not arriving.',
    held: 'The source repeats one reading: this is not data.',
    never: 'This rig has sent nothing yet.',
  },
  forSeconds: (duration: string) => `For ${duration}.`,
  arcWasOn: 'Arc was on.',
  arcWasOnAt: (clock: string) => `Arc was on, last at ${clock} o’clock.`,
  notRecorded: 'Not being recorded: stop, or note times by hand.',
  recordedUnknown: 'Whether it is recorded cannot be seen from here.',

  outOfRange: 'OUT OF RANGE',
  outOfRangeSentence: (quantity: string, value: string, limit: string, unit: string) =>
    `${quantity} ${value}, limit ${limit} ${unit}`,
  passMismatch: 'CHECK THE PASS',
  looksLike: (likelier: string, assigned: string, feed: string, travel: string) =>
    `Looks like ${likelier}, not ${assigned}: feed ${feed}, travel ${travel}`,
  andProgram: (program: string) => `, program ${program}`,
  sinceClock: (clock: string) => `since ${clock} o’clock`,
  valuesOut: (n: number) => `${plural(n, { one: 'value', other: 'values' })} out of range`,
  moreOut: (n: number) => `${plural(n, { one: 'more value', other: 'more values' })} out of range`,

  quantity: {
    weldingCurrent: 'current',
    arcVoltage: 'voltage',
    wireFeedSpeed: 'wire feed',
    travelSpeed: 'travel',
    power: 'power',
    arcEnergy: 'arc energy',
    heatInput: 'heat input',
    gasFlow: 'gas flow',
    preheatTemperature: 'preheat',
    interpassTemperature: 'interpass temperature',
    contactTipToWorkDistance: 'CTWD',
    oscillationWidth: 'oscillation width',
    oscillationFrequency: 'oscillation frequency',
    timeBetweenPasses: 'time between passes',
  } as Readonly<Record<string, string>>,

  /** A number that may be one of two. */
  ambiguous: (typed: string) =>
    `“${typed}” may be one of two numbers: write it without thousands, and with the decimal sign set on this device.`,

  barInside: (value: string, limits: string) => `${value}, inside ${limits}`,
  barBelow: (value: string, limits: string) => `${value}, below ${limits}`,
  barAbove: (value: string, limits: string) => `${value}, above ${limits}`,
  barNoLimit: (value: string) => `${value}, no limit`,
  barNoValue: 'no value',
  limits: {
    both: (min: string, max: string, unit: string) => `limits ${min} to ${max} ${unit}`,
    range: (min: string, max: string) => `${min} to ${max}`,
    max: (max: string, unit: string) => `limit at most ${max} ${unit}`,
    atMost: (max: string) => `at most ${max}`,
    atLeast: (min: string) => `at least ${min}`,
    min: (min: string, unit: string) => `limit at least ${min} ${unit}`,
    none: 'no limit',
  },
  basis: { pass: 'pass average', window: 'window of weld length', instant: '1 s mean' } satisfies Record<
    LimitBasis,
    string
  >,

  arcTime: 'arc time',
  runOut: (unit: string) => `run-out ${unit}`,
  arcEnergyIn: (unit: string) => `arc energy ${unit}`,
  heatInputIn: (unit: string) => `heat input ${unit}`,
  plusMinus: (value: string) => `± ${value}`,
  standingArc: (s: string) => `standing arc ${s} s`,
  restarts: (n: number) => plural(n, { one: 'restart', other: 'restarts' }),
  unobserved: (s: string) => `${s} s not observed`,
  energyBasis: {
    instantaneous: 'from instantaneous power',
    frameProduct: 'from mean U × mean I per frame',
  },

  noWork: 'NO WORK ASSIGNED',
  noWorkHint: 'What is welded now is recorded without joint, side and pass, and not judged.',
  pending: (what: string) => `Waiting for the rig to take over: ${what}`,
  pendingClear: 'no work',
  noProcedure: 'The procedure is not loaded: values are shown without limits.',
  exampleOnly: 'EXAMPLE ONLY – NOT A PROCEDURE',

  ring: {
    noJoint: 'no joint',
    describe: (joint: string) => `Ring of joint ${joint}, looking downstream, 12 on top.`,
    sideAt: (side: Side, pass: string, clock: string, length: string) =>
      `Side ${side}: ${pass}, at ${clock} o’clock ± ${length}.`,
    sideLost: (side: Side, pass: string, clock: string) =>
      `Side ${side}: ${pass}, no data, last at ${clock} o’clock.`,
    flags: (n: number) => plural(n, { one: 'stretch out of range', other: 'stretches out of range' }),
    unseen: 'Hatched: not recorded.',
  },

  origin: { real: 'REAL', simulated: 'SIMULATED', replay: 'REPLAY' },
  originMixed: (parts: string) => `MIXED: ${parts}`,
  originUnknown: 'ORIGIN UNKNOWN',
  trust: {
    label: 'How far this screen can be trusted',
    clock: 'clock',
    stored: 'stored to',
    storedNone: 'nothing yet',
    oldest: (n: string) => `oldest of ${n}`,
    buffer: 'buffer',
    bufferEmpty: 'empty',
    bufferWaiting: (n: number) => plural(n, { one: 'batch waiting', other: 'batches waiting' }),
    recording: 'recording',
    recordingState: { ok: 'ok', lagging: 'LAGGING', failed: 'FAILED' },
    server: 'server',
    serverOpen: 'connected',
    serverConnecting: 'connecting',
    serverDown: (time: string) => `NO CONNECTION since ${time}`,
    thinned: 'connected, screen thinned',
    thinnedNote: (everyS: string) =>
      `This screen cannot keep up: its live values come every ${everyS} s. Alarms, events and the record are complete.`,
    unknown: 'unknown',
    time: 'time',
    clockState: { synced: 'synced', holdover: 'HOLDOVER', unsynced: 'NOT SYNCED' },
    clockOffset: (ms: string) => `± ${ms} ms`,
    onRigs: (what: string, rigs: string) => `${what}: ${rigs}`,
  },

  empty: {
    title: 'No rig has reported yet',
    connecting: 'Connecting to the dashboard server …',
    down: (time: string) => `No connection to the dashboard server since ${time}. Trying again by itself.`,
    next: 'What to do next',
    steps: [
      'Start an edge on the computer that the rig’s signal comes into, and give it the address of this dashboard’s broker.',
      'Check its first lines: they name the signal it opened and the broker it reached.',
      'The side appears here by itself. Then tell it what it welds with “Assign work”.',
    ],
  },

  work: enWork,
  alarms: enAlarms,
  trends: enTrends,
  training: enTraining,
  trendAt: enTrendAt,
  truck: enTruck,
  verify: enVerify,
  ready: enReady,
  joints: enJoints,
  jointEntries: enJointEntries,
  dispositions: enDispositions,
  export: enExport,
  rigEvents: enRigEvents,
  screens: enScreens,
  settings: enSettings,
  accounts: enAccounts,
  shift: enShift,
  sums: enSums,
  changes: enChanges,
  review: enReview,
  procedures: enProcedures,
  screen: {
    label: 'This screen',
    theme: 'Theme',
    themes: { auto: 'Auto', day: 'Day', night: 'Night' },
    gloves: 'Glove targets',
    awake: 'Keep screen awake',
    awakeUnavailable: 'This browser cannot keep the screen awake here: it needs https or this computer.',
    awakeLost: 'The screen may sleep again: the browser ended it.',
  },
  caution: {
    line: 'Monitoring only: not a safety device, interlock or emergency stop. No alarm is not acceptance. Rings: looking downstream.',
    open: 'Cautions and how to read this',
    title: 'Cautions',
    device:
      'The logger is monitoring only: not a safety device, interlock or emergency stop; it never commands the rig.',
    acceptance:
      'No alarm is not acceptance. Acceptance belongs to the code, the WPS, local regulations and qualified, authorised persons.',
    example: 'Example limits are not a procedure.',
    missing: 'Missing data reads NO DATA.',
    hazardsTitle: 'Where this work can hurt someone',
    hazards: [
      'Arc radiation and fume.',
      'Electric shock: sensor taps sit on the welding circuit. Isolation, fused taps, qualified persons only.',
      'Hot work and fire. Hot pipe.',
      'A moving carriage: a verification run moves it.',
      'Suspended pipe and traffic. Cylinders.',
      'Parked vehicles only: do not watch this screen while driving.',
    ],
    readTitle: 'How to read the screen',
    read: [
      'A ring is the joint, looking downstream, 12 on top: side A on the left, side B on the right. The innermost layer is the first pass; the dark layer is the one being welded.',
      'The round mark is where the arc is now; the bracket over it is how far it may be off (k = 2). Bars across a layer: nothing was recorded there.',
      'On each bar the two black ends are the limits, the dashed mark is the nominal value, the pointer is the 1 s mean. A pointer lying on its side means the value is off the scale.',
      'A numbered diamond marks weld that was out of range. Anything normal is grey.',
      'Arc energy has no efficiency in it; heat input is arc energy × thermal efficiency. The ± is at k = 2.',
    ],
    zone: (zone: string) => `Times on this screen are in the time zone of the job, ${zone}.`,
  },
};

export type Texts = typeof en;

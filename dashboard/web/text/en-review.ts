/** English: a joint under review. */
import { formats } from './format.ts';

const { plural } = formats('en');
const windows = (n: number): string => plural(n, { one: 'window', other: 'windows' });

export const enReview = {
  open: 'Review along the weld',
  title: (joint: string) => `Review of joint ${joint}`,
  back: 'Back to the joint',
  rowLink: 'Review',
  loading: 'Reading the joint; its samples are cut into windows …',
  failed: (why: string) => `The joint could not be read: ${why}`,
  notAcceptance:
    'What is shown was measured against the procedure. It is no verdict of non-destructive testing. A joint without deviations is not accepted by that.',
  facts: (wps: string, od: string, wall: string) => `${wps}, outside diameter ${od}, wall ${wall}`,
  noWps: 'no WPS known',
  positions:
    'o’clock looking downstream, 12 at the top; side B runs with the clock, side A against it; lengths along each side from its start.',

  stripTitle: 'The joint unrolled',
  stripLabel: 'Passes of the joint from 12 o’clock clockwise, the outermost layer on top',
  stripNote:
    'Grey: welded. Orange with a number: deviation. Blue stripe: a change along the weld was called. Hatched: no data. Strokes: starts and stops. Thick box: an indication; dashed around it the uncertainty of its place.',
  stripScroll: 'It goes on to the right: push it sideways.',
  sideRuns: { A: '← side A', B: 'side B →' },
  callMark: (label: string) => `NDT ${label}`,
  repairRow: (pass: string) => `${pass}, repair`,
  passLabel: (side: string, pass: string, deviations: number) =>
    `side ${side}, ${pass}, ${plural(deviations, { one: 'deviation', other: 'deviations' })}`,
  unplaced: (n: number) =>
    `${plural(n, { one: 'pass has', other: 'passes have' })} no place on the joint and cannot be drawn.`,
  noPasses: 'No pass of this joint is recorded yet.',

  pass: {
    title: (name: string) => `Along the weld: ${name}`,
    pick: 'Pass',
    repair: 'repair',
    repairNote: 'Welded after a repair was ruled: shown as a layer of its own.',
    nameOf: (side: string | null, pass: string | null, rig: string) =>
      `side ${side ?? '?'}, ${pass ?? 'no pass'} (${rig})`,
    from: (unit: string) => `From, ${unit}`,
    to: (unit: string) => `To, ${unit}`,
    at: (unit: string) => `Cursor, ${unit}`,
    whole: 'Whole pass',
    axis: 'Along',
    axisLength: 'length',
    axisS: 'time',
    notNumber: 'A number, or nothing.',
    cursorNowhere: 'The cursor is nowhere yet: move it, and charts and strip follow.',
    cursor: (length: string, clock: string, s: string) =>
      `At ${length}, ${clock} o’clock, ${s} s of the pass`,
    noWindow: (length: string) => `At ${length} there is no window.`,
    moved: (pass: string) => `Moved by an entry; judged as ${pass}.`,
    depth: (top: string, bottom: string) =>
      `Lies ${top} to ${bottom} below the outside, by what was deposited.`,
    depthUnknown: 'How deep it lies is not known: the bevel, or what was deposited before it, is missing.',
    summary: (arc: string, length: string, energy: string, heat: string) =>
      `Arc time ${arc} s, run-out ${length}, arc energy ${energy}, heat input ${heat}`,
    quality: 'Data quality',
    qualityOk: 'nothing missing',
    gaps: (n: number, s: string) => `${plural(n, { one: 'gap', other: 'gaps' })}, ${s} s not observed`,
    missing: (channels: string) => `not measured: ${channels}`,
    pruned: 'samples were thinned; windows cannot be made again',
    tap: (where: string) => `voltage tapped at ${where}`,
    offset: (ms: string) => `clock off by ${ms} ms`,
    range: (low: string, high: string, unit: string) => `${low} to ${high} ${unit}`,
    chart: (quantity: string, range: string) => `${quantity} along the weld: ${range}`,
    chartNothing: 'nothing known here',
    arcBar: (stops: number, events: number) =>
      `Where the arc burned: ${plural(stops, { one: 'stop', other: 'stops' })}, ${plural(events, { one: 'event', other: 'events' })}`,
    samplesLoading: 'Reading the samples …',
    samplesFailed: (why: string) => `The samples could not be read: ${why}`,
    noSamples: 'NO DATA: no sample of this stretch is stored here.',
    summarised:
      'The samples of a part of this stretch were let go, or cannot be read now: least and greatest of each second or more are shown there.',
    readHere: 'InfluxDB could not be read: the samples shown are those that the store has.',
    events: 'Events',
    noEvents: 'No event is recorded.',
    verdicts: 'Verdicts',
    states: { in: 'in', marginal: 'marginal', out: 'OUT', notJudged: 'not judged' },
    columns: {
      quantity: 'Quantity',
      limits: 'Limits',
      value: 'Value',
      verdict: 'Verdict',
      time: 'Time',
      where: 'Where',
      what: 'What',
    },
  },

  rows: {
    title: 'Along the weld in numbers',
    windows: (length: string) => `each ${length}`,
    sectors: 'each 30°',
    pick: 'Rows',
    clock: 'o’clock',
    none: 'No window of this pass is known.',
    outMark: '◆ OUT',
    span: (from: string, to: string) => `${from} – ${to}`,
    seconds: (from: string, to: string) => `${from} – ${to} s`,
    extremesTitle: 'What the charts show, in numbers',
    extremesNote: 'Least and greatest reading of each window.',
  },

  passes: {
    title: 'Passes in the order welded',
    pass: 'Pass',
    arcTime: 'Arc time, s',
    runOut: 'Run-out',
    current: 'Current',
    voltage: 'Voltage',
    feed: 'Wire feed',
    travel: 'Travel',
    energy: 'Arc energy',
    heat: 'Heat input',
    deviations: 'Deviations',
    verdict: 'Verdict',
  },

  evidence: {
    title: (readings: number, missing: number) =>
      `Temperatures (${readings}), verification of the rigs, what is missing (${missing})`,
    temperatures: 'Preheat and interpass',
    reading: (what: string, value: string, pass: string, clock: string, when: string, who: string) =>
      `${what} ${value} before ${pass}${clock === '' ? '' : ` at ${clock} o’clock`}, ${when}, ${who}`,
    verifications: 'Rigs as they stood when each first welded here',
    verified: (rig: string, when: string, ready: boolean) =>
      `${rig}, ${when}: ${ready ? 'verified and ready' : 'NOT READY'}.`,
    missing: 'Missing or against the rules',
  },

  beside: {
    title: 'Beside other joints',
    intro: 'The same pass on up to three other joints, one line each.',
    pick: 'Add a joint',
    add: 'Add',
    remove: (joint: string) => `Take ${joint} away`,
    none: 'The other joint has no such pass on this side.',
    what: 'Quantity',
    label: (quantity: string) => `${quantity} of this joint and of those beside it`,
    table: 'The same in numbers',
    loading: 'Reading the other joints …',
    failed: (why: string) => `Another joint could not be read: ${why}`,
    noOthers: 'No other joint has this pass on this side yet.',
  },

  calls: {
    title: 'Indications of NDT',
    none: 'No scan of this joint is entered.',
    add: 'Enter a scan',
    noneIn: (reference: string) => `Scan ${reference} reports no indication.`,
    head: (label: string, type: string) => `${label}: ${type}`,
    place: (from: string, to: string, length: string, u: string) =>
      `${from} to ${to} o’clock, ${length} from 12 o’clock (± ${u})`,
    noPlace: 'Its place is not known: no outside diameter.',
    size: (length: string, depth: string) => `${length} long, ${depth}`,
    depth: (top: string, height: string, slack: string) =>
      `${top} deep${height === '' ? '' : `, ${height} high`} (layers within ± ${slack} of it count)`,
    noDepth: 'depth not given: every layer counts',
    counted: (zero: string, sense: string, diameter: string) =>
      `Counted from ${zero}° ${sense} on ${diameter}, looking downstream.`,
    clockwise: 'with the clock',
    counterClockwise: 'against the clock',
    outside: 'the outside of the pipe',
    diameterOf: (length: string) => `a diameter of ${length}`,
    covered: 'Passes there',
    coveredNone: 'No recorded pass lies there.',
    coveredNote: (length: string) =>
      `Looked at: its stretch, the uncertainty of both places, and ${length} on either side. What lies there is listed; whether it has to do with the indication is for a person to say.`,
    coveredLine: (n: number) => windows(n),
    notAtDepth: 'not at its depth',
    othersThere: (n: number) => `${plural(n, { one: 'pass', other: 'passes' })} there, but not at its depth`,
    liesAt: (top: string, bottom: string) => `${top} to ${bottom} below the outside`,
    noneOut: 'no window out of its limits there',
    detail: (pass: string) => `What lies there of ${pass}, with its limits`,
    limits: 'Limits',
    limit: (min: string, max: string) => `${min} – ${max}`,
    noLimit: 'none',
    startAt: (place: string) => `Start of the pass at ${place}`,
    endAt: (place: string) => `End of the pass at ${place}`,
    stopAt: (place: string, at: string, length: string) =>
      `Stop at ${place}, ${at} s of the pass, ${length} s long`,
    eventAt: (place: string, at: string, what: string) => `${place}, ${at} s of the pass: ${what}`,
    startsHere: 'starts here',
    endsHere: 'ends here',
    stops: (n: number) => plural(n, { one: 'stop', other: 'stops' }),
    events: (n: number) => plural(n, { one: 'event', other: 'events' }),
    outHere: (quantities: string) => `out of limits there: ${quantities}`,
    show: 'Show it',
    findings: 'Findings',
    noFinding: 'Nobody has recorded a finding about it.',
    correlation: { found: 'Correlation found', none: 'No correlation found', notClear: 'Not clear' },
  },

  scan: {
    title: 'A scan of this joint',
    intro: 'As the report gives it, in the report’s own counting.',
    reference: 'Number of the report',
    technique: 'Method, in NDT’s word',
    takenAt: 'Scanned',
    zero: 'Its zero, degrees clockwise from the top, looking downstream',
    sense: 'It counts',
    diameter: (unit: string) =>
      `Diameter its lengths are measured at, ${unit}; empty: the outside of the pipe`,
    uncertainty: (unit: string) => `Uncertainty of where its zero was set, ± ${unit} (k = 2)`,
    rows: 'Indications',
    rowsHint:
      'One a line: label, type, position, unit (mm, degrees or clock), length mm, depth mm, height mm. None: the scan reports none.',
    head: 'label,type,position,unit,length_mm,depth_mm,height_mm',
    file: 'Read a CSV file',
    tooLarge: 'That file is too large for a table of indications.',
    save: 'Enter the scan',
    saved: 'The scan is entered.',
    missing: {
      reference: 'Give the number of the report.',
      technique: 'Give its method.',
      takenAt: 'Give when it was scanned.',
      zero: 'A number from 0 to 359.9.',
      uncertainty: (high: string) => `A number from 0 to ${high}.`,
      diameter: 'A number, or nothing.',
    },
  },

  finding: {
    title: (label: string) => `A finding about indication ${label}`,
    correlation: 'With what was recorded there is',
    text: 'In words',
    save: 'Record the finding',
    saved: 'The finding is recorded.',
    missing: { text: 'Say it in words.', correlation: 'Say whether there is a correlation.' },
    add: 'Record a finding',
  },

  note: {
    title: 'Notes',
    none: 'No note.',
    add: 'Write a note',
    text: 'Note',
    about: (from: string, to: string) => `About ${from} to ${to} of this pass`,
    save: 'Keep the note',
    saved: 'The note is kept.',
    missing: { text: 'Write something.' },
  },

  who: 'Who enters it',
  whoMissing: 'Say who enters it.',
  cancel: 'Cancel',
  entryFailed: (why: string) => `It was not kept: ${why}`,
};

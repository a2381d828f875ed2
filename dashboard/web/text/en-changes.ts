/** English: changes along the weld, how they are called, and one pass type over the joints. */
import { formats } from './format.ts';

const { plural } = formats('en');
const passes = (n: number): string => plural(n, { one: 'pass', other: 'passes' });

export const enChanges = {
  label: 'Changes along the weld',
  tabs: { changes: 'Calls', changesOver: 'Over the joints', changesSettings: 'How changes are called' },
  loading: 'Reading …',
  failed: (why: string) => `This could not be read: ${why}`,
  noServer: 'the dashboard server does not answer.',
  retry: 'Try again',
  quantity: {
    weldingCurrent: 'Welding current',
    arcVoltage: 'Arc voltage',
    wireFeedSpeed: 'Wire feed speed',
    travelSpeed: 'Travel speed',
    gasFlow: 'Gas flow',
    arcEnergy: 'Arc energy',
    heatInput: 'Heat input',
    runOutLengthMm: 'Run-out length',
    closure: 'Closure of both sides',
    currentSpread: 'Spread of the current',
    voltageSpread: 'Spread of the voltage',
  } as Readonly<Record<string, string>>,

  calls: {
    title: 'Calls',
    intro:
      'What the rules called on finished passes: values out of range, and changes along the weld. Mark what each call ' +
      'turned out to be. A mark changes neither the record nor a verdict; it measures how far calls can be trusted.',
    none: 'No finished pass has a call.',
    more: 'Older calls',
    who: 'Who marks',
    whoFirst: 'Say who marks first.',
    rule: {
      outOfRange: 'OUT OF RANGE',
      drifting: 'DRIFTING',
      projected: 'HEADING OUT',
      pattern: 'UNUSUAL TOGETHER',
      trim: 'TRIM',
    },
    where: (joint: string | null, side: string | null, pass: string | null) =>
      [joint === null ? 'no joint' : `joint ${joint}`, side === null ? '' : `side ${side}`, pass ?? '']
        .filter(part => part !== '')
        .join(', '),
    place: (from: string, to: string) => `${from} to ${to} along the side`,
    mark: { real: 'Real', notReal: 'Not real', unknown: 'Cannot say' },
    markOf: (call: string) => `What was it: ${call}`,
    marked: (what: string, who: string, when: string) => `${what}: ${who}, ${when}`,
    trimNote: 'A trim is told, never announced.',
    failed: (why: string) => `The mark was not kept: ${why}`,
  },

  trust: {
    title: 'How right the calls were',
    none: 'Nothing is measured yet: no pass is finished.',
    line: (n: number, calls: number) => `${passes(n)}, ${plural(calls, { one: 'call', other: 'calls' })}`,
    marks: (real: number, notReal: number, unknown: number, open: number) =>
      `${real} real, ${notReal} not real, ${unknown} cannot say, ${open} not marked`,
    rate: (rate: string, low: string, high: string) =>
      `False calls: ${rate} in 100 passes (${low} to ${high}, 95 %)`,
    rateLeast: (rate: string) => `At least ${rate} false calls in 100 passes: calls are not all marked`,
    unmarked: 'False calls: not known until calls are marked.',
    computed: (rate: string) =>
      `By computation, for windows that do not depend on each other: ${rate} false calls in 100 passes.`,
  },

  settings: {
    title: 'How changes are called',
    intro:
      'Each window of about 25 mm (1 in) of weld is held against what this rig does on good passes of the same kind. ' +
      'These numbers say how much must change, for how long, before it is called. They change no limit of any procedure.',
    shipped: 'As shipped.',
    changed: (who: string, when: string, why: string) => `Changed by ${who}, ${when}: ${why}`,
    fields: {
      k: {
        label: 'Slack k',
        hint: 'In standard deviations. Half the change worth finding: smaller changes are let pass.',
      },
      h: { label: 'Patience h', hint: 'In standard deviations. How much must add up before it is called.' },
      lambda: {
        label: 'Weight of the newest window λ',
        hint: 'Of the moving average drawn beside it, 0.01 to 1.',
      },
      width: { label: 'Width of its limits L', hint: 'In standard deviations of the average.' },
      pattern: {
        label: 'Unusual together: one good window in',
        hint: 'How rarely a good window may be called because its values do not fit together.',
      },
      onDelayS: { label: 'Out of range: called after', hint: 'Seconds beyond the limit.' },
      offDelayS: { label: 'Out of range: over after', hint: 'Seconds back inside it.' },
    },
    wrong: (low: string, high: string) => `A number from ${low} to ${high}.`,
    effect: 'What that does',
    effectUnknown: 'It is said once every number above makes sense.',
    perPass: (windows: string, length: string, channels: string, from: string) =>
      `For a pass of ${windows} windows of ${length} on ${channels} channels (${from}):`,
    fromPasses: (n: number) => `the usual of the last ${passes(n)}`,
    fromExample: 'an example: half of a 610 mm (24 in) pipe',
    falseCall: (one: string) => `a good pass is called falsely about once in ${one} passes`,
    falseNever: 'a good pass is practically never called falsely',
    seen: (sigma: string, windows: string, length: string) =>
      `a change of ${sigma} σ is called after ${windows} windows, ${length} of weld, on average`,
    seenNever: (sigma: string) => `a change of ${sigma} σ is practically never called`,
    average: 'The moving average beside it',
    averageOnly: 'It is drawn and calls nothing. If its limits called:',
    pattern: (one: string) =>
      `Values that do not fit together: a good pass is called falsely about once in ${one} passes.`,
    caveat:
      'Computed for windows that do not depend on each other. Neighbouring windows of a real weld do, a little: ' +
      'the measured rate below is the one to trust.',
    try: 'Try on the last 20 passes',
    trying: 'Running the samples again …',
    tried: 'On the last passes',
    triedNone: 'No recorded pass can be run again.',
    triedSum: (n: number, before: number, now: number) =>
      `${passes(n)}: ${plural(before, { one: 'call', other: 'calls' })} as recorded, ${now} with these numbers.`,
    columns: { pass: 'Pass', recorded: 'As recorded', tried: 'With these' },
    counts: (out: number, drifting: number, projected: number, pattern: number) =>
      out + drifting + projected + pattern === 0
        ? 'none'
        : [
            out > 0 ? `${out} out of range` : '',
            drifting > 0 ? `${drifting} drifting` : '',
            projected > 0 ? `${projected} heading out` : '',
            pattern > 0 ? `${pattern} unusual together` : '',
          ]
            .filter(part => part !== '')
            .join(', '),
    save: 'Use these from now on',
    saveFirst: 'Try them on the last passes first: then they can be saved.',
    reason: 'Why',
    reasonMissing: 'Say why.',
    saved:
      'Saved. Every edge that is connected uses them from its next pass on; the others when they are back.',
    asShipped: 'Numbers as shipped',
    history: 'Earlier changes',
  },

  over: {
    title: 'One pass type over the joints',
    intro:
      'The mean of each pass, joint after joint, for every rig and side: a rig that creeps over days is seen here ' +
      'before any pass leaves its range.',
    type: 'Pass type',
    typeOf: (procedure: string, pass: string, n: number) => `${procedure}, ${pass} (${n})`,
    what: 'What to follow',
    none: 'No pass of an assigned procedure is recorded yet.',
    tooFew: (n: number) => `${passes(n)}: at least 8 are needed for limits of what is usual.`,
    limits: (centre: string, low: string, high: string, unit: string) =>
      `Usual here: ${low} to ${high} ${unit} around ${centre} (mean and moving range)`,
    outside: (n: number) => `${passes(n)} outside what is usual`,
    unknown: (n: number) => `${passes(n)} without this value`,
    rigSide: (rig: string, side: string) => `${rig}, side ${side}`,
    table: 'As a table',
    columns: { joint: 'Joint', when: 'Begun', value: 'Value', note: 'Note' },
    beyond: 'outside what is usual',
    closureTitle: 'Closure of both sides',
    closureIntro:
      'Run-out of both sides against the circumference, overlap taken off. Far from zero: an encoder, wheel slip or ' +
      'a reference radius may be wrong.',
    closureNone: 'No joint has both sides of this pass with a known length yet.',
    finding: { closed: 'closes', look: 'worth a look', suspect: 'suspect: encoder, slip or radius' },
    uncertainty: (u: string) => `± ${u}`,
  },
};

/** English: the debrief of a training session. */
import type { WindowScore } from '#core/training/session';
import { formats } from './format.ts';

const { plural } = formats('en');

const result: Readonly<Record<WindowScore['result'], string>> = {
  hit: 'HIT',
  late: 'LATE',
  miss: 'MISSED',
  falseAlarm: 'FALSE ALARM',
  leftAlone: 'LEFT ALONE',
  notReached: 'not reached',
};

export const enDebrief = {
  title: (trainee: string) => `Debrief: ${trainee}`,
  head: (lesson: string, mode: string, seed: string, when: string) =>
    `${lesson}, ${mode}, seed ${seed}, ${when}`,
  notEnded: 'The lesson has not ended: the debrief comes after it.',
  rate: {
    title: 'First: how did it go?',
    intro: 'Say it before you see the score. It is kept as you say it.',
    legend: 'I saw what went wrong …',
    grades: [
      '1: hardly any of it',
      '2: some of it',
      '3: about half',
      '4: most of it',
      '5: all of it, in time',
    ],
    send: 'Keep it and show the score',
    missing: 'Choose 1 to 5 first.',
    failed: (why: string) => `It was not kept: ${why}`,
    was: (n: number) => `The trainee rated themselves ${n} of 5 before seeing this.`,
  },

  notScored: (why: string) => `Not scored. ${why}`,
  gap: (why: string) => `The truth is not known to the end: ${why}`,
  countsTitle: 'Counts',
  counts: {
    hit: 'Hits',
    late: 'Late',
    miss: 'Misses',
    falseAlarm: 'False alarms',
    wrongSide: 'Wrong side',
    leftAlone: 'Left alone, rightly',
    rightChannel: 'Right value named',
    rightAction: 'Right action named',
  },
  outOf: (n: number, all: number) => `${n} of ${all}`,
  sensitivityTitle: 'Telling wrong from right (d′)',
  dPrime: (value: string, low: string, high: string) => `d′ = ${value} (95 %: ${low} to ${high})`,
  basis: (hits: number, signals: number, alarms: number, noises: number) =>
    `From ${hits} of ${plural(signals, { one: 'stretch', other: 'stretches' })} that were wrong, and ${alarms} of ${noises} that were not.`,
  criterion: (value: string) => `Criterion ${value}: above 0 is slow to call, below 0 quick to call.`,
  dPrimeNote: '0 is guessing; the interval is what so few stretches can tell.',
  noDPrime: (why: string) => `Not given: ${why}`,

  windowsTitle: 'Each stretch',
  windowsNone: 'Nothing was wrong in this lesson.',
  result,
  columns: {
    what: 'What was true',
    where: 'Where',
    result: 'Result',
    seconds: 'After',
    weld: 'Weld until then',
    named: 'Value, action',
    see: 'See it',
  },
  seconds: (s: string) => `${s} s`,
  rightAnswer: (words: string) => `right answer: ${words}`,
  right: 'right',
  wrong: 'not right',
  unsaid: 'not said',
  named: (channel: string, action: string) => `value ${channel}, action ${action}`,
  see: 'From 10 s before',
  seeOf: (what: string) => `: ${what}`,

  straysTitle: 'Marks that found nothing',
  strays: { falseAlarm: 'FALSE ALARM', wrongSide: 'WRONG SIDE', repeat: 'marked before' },

  timelineTitle: 'What happened, in one line of time',
  timelineOf: (where: string) => `${where}: truth, alarms, calls by the rules, marks`,
  timelineSummary: (where: string, parts: string) => `${where}: ${parts}. All of it is in the table below.`,
  lanes: { truth: 'truth', calls: 'rules', alarms: 'alarms', marks: 'marks' },
  laneCount: (n: number, lane: string) => `${lane} ${n}`,
  minutes: (m: string) => `${m} min`,
  timelineNote:
    'Solid: wrong. Outlined: to be left alone. Orange: alarms. Blue: called by the rules. Flag: a mark. Striped: frozen.',
  table: 'As a table',
  tableColumns: { at: 'When', kind: 'What', where: 'Where', text: 'In words', see: 'See it' },
  kind: {
    truth: 'truth',
    mark: 'mark',
    alarm: 'alarm',
    deviation: 'deviation',
    drift: 'change along the weld',
    note: 'note',
    pause: 'frozen',
  },
  until: (from: string, to: string) => `${from} to ${to}`,

  stripTitle: 'Where on the pipe',
  stripOf: (joint: string) => `Joint ${joint}`,
  review: (joint: string) => `Joint ${joint} under review`,
  stripNote: 'Solid: wrong. Outlined: to be left alone. Thin: not reached. Flag: a mark of the trainee.',

  pointsTitle: 'Together: two things to keep, two to change',
  keep: (n: number) => `Keep ${n}`,
  change: (n: number) => `Change ${n}`,
  keepTitle: 'Keep',
  changeTitle: 'Change',
  pointsNone: 'Nothing written yet: the trainer writes it here.',
  save: 'Keep these',
  saved: 'Kept.',
  saveFailed: (why: string) => `Not kept: ${why}`,

  pdf: 'Debrief as PDF',
  export: 'Export everything (JSON)',
  back: 'Back to the debrief',
  here: 'here',
  says: {
    simulated: 'This is no weld, and the record of no joint.',
    replay: 'A recorded joint played back with its names removed: no weld of this day.',
  },
};

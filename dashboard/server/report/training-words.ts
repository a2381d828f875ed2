/** English words of the debrief of a training session. */

import type { TimelineItem } from '#core/messages/api-training';
import type { NamedChannel, TrainingAction } from '#core/training/names';
import type { WindowScore } from '#core/training/session';

export const TRAINING_WORDS = {
  title: (trainee: string) => `Training debrief: ${trainee}`,
  cautions: [
    'Simulated: no metal was welded. A score here is no qualification; that belongs to the code and to qualified, authorised persons.',
    'Training in seeing does not replace the usual cautions at a real rig: arc and fume, shock, fire, hot pipe, moving carriage.',
  ],
  footer: (lesson: string, time: string, software: string) => `${lesson} · ${time} · Girthlog ${software}`,
  sections: {
    session: 'Session',
    counts: 'Counts',
    sensitivity: 'Telling trouble from good weld',
    timeline: 'One timeline',
    windows: 'What was wrong, and what only looked so',
    talk: 'Two things to keep, two to change',
    notes: 'Notes of the trainer',
    list: 'Everything in the order of time',
  },
  lateMeans:
    'Late: marked after it was over. Right channel and right action are of the hits and the late ones.',
  timelineMeans:
    'Grey: something was wrong. Dashed: it only looked so. Black bars: called or announced by the program. Triangles: ' +
    'marks of the trainee. Hatched above: frozen.',
  line: '…………………………………………………………',
} as const;

export const RESULT_WORDS: Readonly<Record<WindowScore['result'], string>> = {
  hit: 'hit',
  late: 'late',
  miss: 'MISSED',
  falseAlarm: 'FALSE ALARM',
  leftAlone: 'left alone, rightly',
  notReached: 'not reached',
};

export const CHANNEL_WORDS: Readonly<Record<NamedChannel, string>> = {
  weldingCurrent: 'welding current',
  arcVoltage: 'arc voltage',
  wireFeedSpeed: 'wire feed speed',
  travelSpeed: 'travel speed',
  gasFlow: 'gas flow',
  position: 'position',
  noData: 'no data',
};

export const ACTION_WORDS: Readonly<Record<TrainingAction, string>> = {
  leaveAlone: 'leave alone',
  trim: 'trim',
  stop: 'stop',
  call: 'call',
  checkEarth: 'check the earth',
  checkGas: 'check the gas',
  changeTip: 'change the tip',
};

export const KIND_WORDS: Readonly<Record<TimelineItem['kind'], string>> = {
  truth: 'true',
  mark: 'marked',
  alarm: 'announced',
  deviation: 'out of range',
  drift: 'drifting',
  note: 'note',
  pause: 'frozen',
};

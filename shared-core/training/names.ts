/** Names of training that pages use as they are: apart from the schemas, so that a page need not carry those. */

/** Carries the key of the trainer's link. Wrong: refused. Left out: the trainee's view. */
export const TRAINER_HEADER = 'x-girthlog-trainer';

/** How fast a lesson may run; only ×1 is scored. */
export const SPEEDS = [1, 2, 4, 8] as const;

/** Channels that a trainee may name as the one that moved. */
export const NAMED_CHANNELS = [
  'weldingCurrent',
  'arcVoltage',
  'wireFeedSpeed',
  'travelSpeed',
  'gasFlow',
  'position',
  'noData',
] as const;
export type NamedChannel = (typeof NAMED_CHANNELS)[number];

/** What a trainee may choose to do. Nothing of it moves a rig: the crew would. */
export const ACTIONS = ['leaveAlone', 'trim', 'stop', 'call', 'checkEarth', 'checkGas', 'changeTip'] as const;
export type TrainingAction = (typeof ACTIONS)[number];

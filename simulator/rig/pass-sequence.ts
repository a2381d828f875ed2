/**
 * The start and stop sequence of a pass, as a pure state machine:
 *
 *   idle → gasBefore → strike → dwell → travel → crater → burnBack → gasAfter → idle
 *                                         └ at a stop: crater → burnBack → gasAfter → waiting → gasBefore …
 *
 * Gas flows before the arc, the arc burns before travel starts (the puddle forms), the crater is filled
 * standing at reduced feed, the wire burns back, gas flows on.
 */
export type SequencePhase =
  | 'idle'
  | 'gasBefore'
  | 'strike'
  | 'dwell'
  | 'travel'
  | 'crater'
  | 'burnBack'
  | 'gasAfter'
  | 'waiting';

export interface SequenceTimes {
  readonly gasBeforeS: number;
  readonly dwellS: number;
  readonly craterS: number;
  readonly burnBackS: number;
  readonly gasAfterS: number;
}

export const SEQUENCE_TIMES: SequenceTimes = {
  gasBeforeS: 0.8,
  dwellS: 0.5,
  craterS: 0.5,
  burnBackS: 0.08,
  gasAfterS: 2.5,
};

/** A stop within a pass: where along it, and how long until the restart begins. */
export interface PassStop {
  readonly atMm: number;
  readonly pauseS: number;
  /** How far the carriage goes back meanwhile, mm; negative: on. */
  readonly overlapMm?: number;
}

export interface SequenceState {
  readonly phase: SequencePhase;
  readonly inPhaseS: number;
  /** How many of the pass's stops have been made. */
  readonly stopsMade: number;
  /** The pass's end has been reached: after this gas, idle. */
  readonly ending: boolean;
}

export interface SequenceInput {
  readonly stepS: number;
  readonly start: boolean;
  readonly arcBurning: boolean;
  readonly alongMm: number;
  readonly lengthMm: number;
  readonly stops: readonly PassStop[];
}

export const SEQUENCE_IDLE: SequenceState = { phase: 'idle', inPhaseS: 0, stopsMade: 0, ending: false };

/** The state one step later. */
export function nextSequence(
  state: SequenceState,
  input: SequenceInput,
  times: SequenceTimes,
): SequenceState {
  const inPhaseS = state.inPhaseS + input.stepS;
  const { phase, stopsMade, ending } = state;
  const stay: SequenceState = { phase, inPhaseS, stopsMade, ending };
  const go = (phase: SequencePhase, change: Partial<SequenceState> = {}): SequenceState => ({
    ...state,
    ...change,
    phase,
    inPhaseS: 0,
  });
  switch (state.phase) {
    case 'idle':
      return input.start ? go('gasBefore', { stopsMade: 0, ending: false }) : stay;
    case 'gasBefore':
      return inPhaseS >= times.gasBeforeS ? go('strike') : stay;
    case 'strike':
      return input.arcBurning ? go('dwell') : stay;
    case 'dwell':
      return inPhaseS >= times.dwellS ? go('travel') : stay;
    case 'travel': {
      if (input.alongMm >= input.lengthMm) return go('crater', { ending: true });
      const stop = input.stops[state.stopsMade];
      return stop && input.alongMm >= stop.atMm ? go('crater') : stay;
    }
    case 'crater':
      return inPhaseS >= times.craterS ? go('burnBack') : stay;
    case 'burnBack':
      return inPhaseS >= times.burnBackS ? go('gasAfter') : stay;
    case 'gasAfter':
      if (inPhaseS < times.gasAfterS) return stay;
      return state.ending ? go('idle') : go('waiting');
    case 'waiting': {
      const pauseS = input.stops[state.stopsMade]?.pauseS ?? 0;
      return inPhaseS >= pauseS ? go('gasBefore', { stopsMade: state.stopsMade + 1 }) : stay;
    }
  }
}

/** What the rig's controls are told in a phase. */
export interface SequenceCommands {
  readonly gas: boolean;
  readonly output: boolean;
  /** Share of the pass's wire feed; the run-in before the arc is given by `runIn`. */
  readonly feedShare: number;
  readonly runIn: boolean;
  readonly travel: boolean;
}

const OFF = { gas: false, output: false, feedShare: 0, runIn: false, travel: false } as const;

export const COMMANDS: Readonly<Record<SequencePhase, SequenceCommands>> = {
  idle: OFF,
  waiting: OFF,
  gasBefore: { ...OFF, gas: true },
  strike: { ...OFF, gas: true, output: true, runIn: true },
  dwell: { ...OFF, gas: true, output: true, feedShare: 1 },
  travel: { gas: true, output: true, feedShare: 1, runIn: false, travel: true },
  crater: { ...OFF, gas: true, output: true, feedShare: 0.7 },
  burnBack: { ...OFF, gas: true, output: true },
  gasAfter: { ...OFF, gas: true },
};

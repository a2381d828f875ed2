import type { ControlState } from '#core/training/control';

/** Where a lesson stands, without what is welded. */
export interface ControlMachine {
  readonly state: ControlState['state'];
  readonly speed: ControlState['speed'];
  /** It ran at another speed than 1 at some time. */
  readonly hurried: boolean;
}

export type ControlInput =
  | { readonly type: 'open' | 'freeze' | 'resume' | 'end' | 'inject' | 'over' }
  | { readonly type: 'start' | 'speed'; readonly speed: ControlState['speed'] };

export const CONTROL_IDLE: ControlMachine = { state: 'idle', speed: 1, hurried: false };

/** The state after `input`, or null where it does not fit (`over`: everything planned has been welded). */
export function stepControl(machine: ControlMachine, input: ControlInput): ControlMachine | null {
  const { state } = machine;
  switch (input.type) {
    case 'open':
      return state === 'running' || state === 'frozen' ? null : { ...CONTROL_IDLE, state: 'ready' };
    case 'start':
      return state === 'ready' ? running({ ...machine, speed: input.speed }) : null;
    case 'freeze':
      return state === 'running' ? { ...machine, state: 'frozen' } : null;
    case 'resume':
      return state === 'frozen' ? running(machine) : null;
    case 'speed': {
      const changed = { ...machine, speed: input.speed };
      if (state === 'running') return running(changed);
      return state === 'ready' || state === 'frozen' ? changed : null;
    }
    case 'inject':
      return state === 'running' || state === 'frozen' ? machine : null;
    case 'end':
      return state === 'ready' || state === 'running' || state === 'frozen'
        ? { ...machine, state: 'ended' }
        : null;
    case 'over':
      return state === 'running' ? { ...machine, state: 'ended' } : null;
  }
}

function running(machine: ControlMachine): ControlMachine {
  return { ...machine, state: 'running', hurried: machine.hurried || machine.speed !== 1 };
}

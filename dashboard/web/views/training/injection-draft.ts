import type { Injection } from '#core/training/control';
import type { NamedChannel, TrainingAction } from '#core/training/names';
import { storedText, typedNumber, typedStored } from '../../text/typed-number.ts';
import { FAULT_KINDS } from './fault-kinds.ts';

/** Channels of a sensor that may drift. */
export const DRIFTING = [
  'weldingCurrent',
  'arcVoltage',
  'wireFeedSpeed',
  'travelSpeed',
  'gasFlow',
] as const satisfies readonly NamedChannel[];

/** The form as it is typed. */
export interface InjectionDraft {
  readonly rig: string;
  readonly fault: string;
  readonly size: string;
  readonly ramp: string;
  /** Empty: to the end of the pass. */
  readonly length: string;
  readonly otherPass: string;
  readonly channel: (typeof DRIFTING)[number];
  /** Right answers; none: any. */
  readonly channels: readonly NamedChannel[];
  readonly actions: readonly TrainingAction[];
}
export type InjectionField = 'size' | 'ramp' | 'length' | 'otherPass';

export function emptyInjection(): InjectionDraft {
  const { name, size } = FAULT_KINDS[0]!;
  return {
    rig: '',
    fault: name,
    size,
    ramp: '0',
    length: storedText('length', 200),
    otherPass: '',
    channel: 'weldingCurrent',
    channels: [],
    actions: [],
  };
}

export const MOST_RAMP_MM = 2000;
export const LEAST_LENGTH_MM = 1;
export const MOST_LENGTH_MM = 20_000;

const isBetween = (value: number | null, min: number, max: number): boolean => {
  return value !== null && value >= min && value <= max;
};

export function wrongFields(draft: InjectionDraft): ReadonlySet<InjectionField> {
  const wrong = new Set<InjectionField>();
  if (!isBetween(typedNumber(draft.size), -100, 1000)) wrong.add('size');
  if (!isBetween(typedStored('length', draft.ramp), 0, MOST_RAMP_MM)) wrong.add('ramp');
  if (
    draft.length.trim() !== '' &&
    !isBetween(typedStored('length', draft.length), LEAST_LENGTH_MM, MOST_LENGTH_MM)
  )
    wrong.add('length');
  if (draft.fault === 'wrongPass' && draft.otherPass.trim() === '') wrong.add('otherPass');
  return wrong;
}

/** What is sent; only of a draft without wrong fields. */
export function injectionOf(draft: InjectionDraft, rig: string): Injection {
  const { fault, channels, actions } = draft;
  return {
    rig,
    fault,
    size: typedNumber(draft.size)!,
    rampMm: typedStored('length', draft.ramp)!,
    lengthMm: draft.length.trim() === '' ? null : typedStored('length', draft.length)!,
    ...(fault === 'wrongPass' ? { otherPass: draft.otherPass.trim() } : {}),
    ...(fault === 'sensorDrift' ? { channel: draft.channel } : {}),
    ...(channels.length > 0 ? { channels: [...channels] } : {}),
    ...(actions.length > 0 ? { actions: [...actions] } : {}),
  };
}

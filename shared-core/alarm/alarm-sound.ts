/**
 * Which sound is due on one device, as a pure choice. HIGH is five pulses and comes again every 10 s until someone
 * has acknowledged it, because evidence is being lost meanwhile; MEDIUM is three pulses, once; LOW is silent. One
 * burst in 10 s over all sides, that of the most urgent. The lengths and pitches are our own choice.
 */
import type { Lifecycle, Priority } from './alarm-state.ts';

export const PULSES: Readonly<Record<Priority, number>> = { high: 5, medium: 3, low: 0 };
export const BURST_EVERY_MS = 10_000;
export const MUTE_MS = 120_000;

export interface Pulse {
  readonly startMs: number;
  readonly lengthMs: number;
  readonly hz: number;
}

/** A burst as pulses from its beginning. */
export function burstOf(priority: Priority): Pulse[] {
  const [lengthMs, everyMs, hz] = priority === 'high' ? [140, 240, 880] : [220, 420, 620];
  return Array.from({ length: PULSES[priority] }, (_, i) => ({ startMs: i * everyMs, lengthMs, hz }));
}

/** An alarm as the sound sees it: in service, with the number of its latest announcement. */
export interface SoundingAlarm {
  readonly priority: Priority;
  readonly lifecycle: Lifecycle;
  readonly announcement: number | null;
}

export interface SoundState {
  readonly armed: boolean;
  /** Announcements up to this number have been heard here, or were made before anyone listened. */
  readonly heardUpTo: number;
  readonly lastBurstMs: number | null;
  /** Silent until then; null when it is not muted. */
  readonly muteUntilMs: number | null;
  /** What had been announced when it was muted: a HIGH one after that ends the mute. */
  readonly mutedUpTo: number;
}

export const SOUND_OFF: SoundState = {
  armed: false,
  heardUpTo: 0,
  lastBurstMs: null,
  muteUntilMs: null,
  mutedUpTo: 0,
};

const newest = (alarms: readonly SoundingAlarm[], floor: number): number =>
  alarms.reduce((most, { announcement }) => Math.max(most, announcement ?? 0), floor);

/** Someone begins to listen: what was announced before is on the screen and makes no sound now. */
export const armed = (state: SoundState, alarms: readonly SoundingAlarm[]): SoundState => ({
  ...state,
  armed: true,
  heardUpTo: newest(alarms, state.heardUpTo),
});

export const disarmed = (state: SoundState): SoundState => ({ ...state, armed: false, muteUntilMs: null });

export const muted = (state: SoundState, alarms: readonly SoundingAlarm[], nowMs: number): SoundState => ({
  ...state,
  muteUntilMs: nowMs + MUTE_MS,
  mutedUpTo: newest(alarms, state.heardUpTo),
});

export const unmuted = (state: SoundState): SoundState => ({ ...state, muteUntilMs: null });

/** The burst that is due at `nowMs` (a clock that only goes forward), null when none is, and what is heard then. */
export function soundDue(
  state: SoundState,
  alarms: readonly SoundingAlarm[],
  nowMs: number,
): { readonly state: SoundState; readonly burst: Priority | null } {
  if (!state.armed) return { state: { ...state, heardUpTo: newest(alarms, state.heardUpTo) }, burst: null };
  const waiting = alarms.filter(({ lifecycle }) => lifecycle === 'unacked');
  const high = waiting.filter(({ priority }) => priority === 'high');
  const overrides = high.some(({ announcement }) => (announcement ?? 0) > state.mutedUpTo);
  const isMuted = state.muteUntilMs !== null && nowMs < state.muteUntilMs && !overrides;
  if (isMuted) return { state, burst: null };
  const awake = state.muteUntilMs === null ? state : unmuted(state);
  if (awake.lastBurstMs !== null && nowMs - awake.lastBurstMs < BURST_EVERY_MS) {
    return { state: awake, burst: null };
  }
  const isNew = waiting.some(
    ({ priority, announcement }) => priority === 'medium' && (announcement ?? 0) > awake.heardUpTo,
  );
  const burst = high.length > 0 ? 'high' : isNew ? 'medium' : null;
  if (burst === null) return { state: awake, burst };
  return { state: { ...awake, lastBurstMs: nowMs, heardUpTo: newest(alarms, awake.heardUpTo) }, burst };
}

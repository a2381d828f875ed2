/**
 * What practice says to a trainee who has not marked what is wrong: 20 s after its true beginning which side to look at,
 * 40 s after which channel, 60 s after what to do. Nothing in a check, of a decoy, after a mark, or when it is over.
 */
import type { Hint } from '../messages/api-training.ts';
import type { Truth } from './control.ts';
import { matchMarks, placedWindows } from './match-marks.ts';
import { type Pause, runningTime } from './running-time.ts';
import type { Mark } from './session.ts';

/** Since the true beginning, s that the lesson ran. */
export const HINT_AFTER_S = { side: 20, channel: 40, action: 60 } as const;

export interface Hinted {
  readonly mode: 'practice' | 'check';
  readonly truth: Truth['windows'];
  readonly marks: readonly Mark[];
  readonly pauses: readonly Pause[];
}

/** Of several the one that has been waiting longest; null where there is nothing to say. */
export function hintAt(nowUtc: string, { mode, truth, marks, pauses }: Hinted): Hint | null {
  if (mode === 'check') return null;
  const timeOf = runningTime(pauses);
  const nowS = timeOf(nowUtc);
  const windows = placedWindows(truth, timeOf).filter(({ beganS }) => beganS <= nowS);
  const { answers } = matchMarks(
    windows,
    marks.map(mark => ({ mark, atS: timeOf(mark.at) })),
  );
  const [waiting] = windows
    .filter(({ window, endedS }) => window.kind === 'signal' && endedS > nowS && !answers.has(window.id))
    .sort((a, b) => a.beganS - b.beganS);
  if (!waiting) return null;
  const { window, beganS } = waiting;
  const sinceS = nowS - beganS;
  if (sinceS < HINT_AFTER_S.side) return null;
  const { rig, side, channels, actions } = window;
  const step = sinceS >= HINT_AFTER_S.action ? 'action' : sinceS >= HINT_AFTER_S.channel ? 'channel' : 'side';
  return {
    step,
    rig,
    side,
    channels: step === 'side' ? null : channels,
    actions: step === 'action' ? actions : null,
  };
}

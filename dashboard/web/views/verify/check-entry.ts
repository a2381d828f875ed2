import type { NewEntry } from '#core/journal/entry';
import type { Check } from '#core/journal/rig-entries';
import { shiftDateAt } from '#core/shift/shift-day';
import { format } from '../../text/text.ts';
import { typedNumber } from '../../text/typed-number.ts';

/** The day the shift of `now` began by the clocks of the job, as proposed; the person may set another. */
export const proposedShiftDate = (now: Date): string => shiftDateAt(now.getTime(), format().zone);

export interface EntryFrame {
  readonly site: string;
  readonly rig: string;
  readonly author: string;
  readonly shiftDate: string;
}

/** A check that passed is good for the hours asked; one that did not is good for nothing. */
export function checkEntry(frame: EntryFrame, outcome: Check, validHours: string, nowMs: number): NewEntry {
  const hours = typedNumber(validHours) ?? 0;
  return {
    author: frame.author,
    shiftDate: frame.shiftDate,
    reason: null,
    corrects: null,
    body: {
      kind: 'verification',
      site: frame.site,
      rig: frame.rig,
      validUntil: outcome.result === 'pass' ? new Date(nowMs + hours * 3_600_000).toISOString() : null,
      outcome,
    },
  };
}

export interface CorrectionInput {
  readonly channel: 'travelSpeed' | 'wireFeedSpeed';
  readonly factor: number;
  readonly previous: number;
  readonly fromMs: number;
  readonly reason: string;
}

/** Factors outside this are no trim but a fault to mend; the journal refuses them too. */
export const FACTOR_RANGE = { min: 0.5, max: 2 } as const;

export function correctionEntry(frame: EntryFrame, input: CorrectionInput): NewEntry {
  const { channel, factor, previous, fromMs } = input;
  return {
    author: frame.author,
    shiftDate: frame.shiftDate,
    reason: input.reason.trim(),
    corrects: null,
    body: {
      kind: 'correction',
      site: frame.site,
      rig: frame.rig,
      channel,
      factor,
      previous,
      from: new Date(fromMs).toISOString(),
    },
  };
}

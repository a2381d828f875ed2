import type { Entry, EntryOf, NewEntry } from '#core/journal/entry';
import { eventWords } from '#core/journal/event-words';
import type { RigEventName } from '#core/journal/rig-entries';
import { localDateTime, wallMoment } from '../../parts/local-date-time.ts';
import { storedText, typedStored } from '../../text/typed-number.ts';
import { proposedShiftDate } from '../verify/check-entry.ts';

/** In the order of how often they happen on a shift. */
export const EVENT_NAMES = [
  'tipChange',
  'spoolChange',
  'gasBottleChange',
  'setPointChange',
  'stop',
  'repair',
  'wheelChange',
  'bandChange',
] as const satisfies readonly RigEventName[];

export const LOT_EVENTS = ['spoolChange', 'gasBottleChange'] as const;
export const REASON_EVENTS = ['setPointChange', 'repair', 'stop'] as const;
/** As the journal takes it. */
export const MOST_WIRE_KG = 1000;
export const AGO_MINUTES = ['0', '5', '15', '30', 'other'] as const;

/** As typed: texts, kept in this tab so that nothing half-entered is lost. */
export interface EventDraft {
  readonly event: RigEventName | '';
  /** When the event was tapped, ms on this device's clock. */
  readonly tappedMs: string;
  readonly ago: string;
  /** Local date and time, used where `ago` is `other`. */
  readonly typedWhen: string;
  readonly lot: string;
  /** Wire on a new spool, kg; empty where it is not said. */
  readonly wireKg: string;
  readonly words: string;
  readonly why: string;
  /** Empty: as the shift rule proposes. */
  readonly shiftDate: string;
}

export const EMPTY_EVENT: EventDraft = {
  event: '',
  tappedMs: '',
  ago: '0',
  typedWhen: '',
  lot: '',
  wireKg: '',
  words: '',
  why: '',
  shiftDate: '',
};

export type EventField = 'event' | 'lot' | 'wireKg' | 'reason' | 'when' | 'shiftDate' | 'why';

export const needsLot = (event: EventDraft['event']): event is (typeof LOT_EVENTS)[number] =>
  LOT_EVENTS.some(one => one === event);
export const needsReason = (event: EventDraft['event']): event is (typeof REASON_EVENTS)[number] =>
  REASON_EVENTS.some(one => one === event);

/** Null where nothing is typed; NaN where it is no mass of a spool. */
function typedWireKg({ event, wireKg }: EventDraft): number | null {
  if (event !== 'spoolChange' || wireKg.trim() === '') return null;
  const kg = typedStored('wireMass', wireKg);
  return kg !== null && kg > 0 && kg <= MOST_WIRE_KG ? kg : Number.NaN;
}

/** When it happened, ms; null where what is typed is no time. */
export function happenedMs(draft: EventDraft, nowMs: number): number | null {
  if (draft.ago === 'other') {
    return wallMoment(draft.typedWhen);
  }
  return (draft.tappedMs === '' ? nowMs : Number(draft.tappedMs)) - Number(draft.ago) * 60_000;
}

/** The day its shift began: as typed, else by the rule from when it happened. */
export const shiftDateOf = (draft: EventDraft, nowMs: number): string =>
  draft.shiftDate === '' ? proposedShiftDate(new Date(happenedMs(draft, nowMs) ?? nowMs)) : draft.shiftDate;

/** Clocks of the device and of the server differ a little; a minute ahead is not the future. */
const AHEAD_MS = 60_000;

export function missingInEvent(draft: EventDraft, nowMs: number, correcting: boolean): EventField[] {
  const missing: EventField[] = [];
  if (draft.event === '') missing.push('event');
  if (needsLot(draft.event) && draft.lot.trim() === '') missing.push('lot');
  if (Number.isNaN(typedWireKg(draft))) missing.push('wireKg');
  if (needsReason(draft.event) && draft.words.trim() === '') missing.push('reason');
  if (correcting && draft.why.trim() === '') missing.push('why');
  const at = happenedMs(draft, nowMs);
  if (at === null || at > nowMs + AHEAD_MS) missing.push('when');
  if (!/^\d{4}-\d{2}-\d{2}$/.test(shiftDateOf(draft, nowMs))) missing.push('shiftDate');
  return missing;
}

/** The request body; call only when nothing is missing. A first reason is the entry's own; a correction keeps it as note. */
export function eventEntry(
  draft: EventDraft,
  frame: {
    readonly site: string;
    readonly rig: string;
    readonly author: string;
    readonly corrects: string | null;
  },
  nowMs: number,
): NewEntry {
  const { site, rig, author, corrects } = frame;
  const event = draft.event === '' ? 'stop' : draft.event;
  const words = draft.words.trim();
  const lot = draft.lot.trim();
  const wireKg = typedWireKg(draft);
  const asReason = corrects === null && needsReason(event);
  return {
    author,
    shiftDate: shiftDateOf(draft, nowMs),
    reason: corrects !== null ? draft.why.trim() : asReason ? words : null,
    corrects,
    body: {
      kind: 'rigEvent',
      site,
      rig,
      event,
      happenedAt: new Date(happenedMs(draft, nowMs) ?? nowMs).toISOString(),
      ...(needsLot(event) && lot !== '' ? { lot } : {}),
      ...(wireKg === null ? {} : { wireKg }),
      ...(words === '' || asReason ? {} : { note: words }),
    },
  };
}

export type RigEventEntry = EntryOf<'rigEvent'>;
export const isRigEvent = (entry: Entry): entry is RigEventEntry => entry.body.kind === 'rigEvent';

/** A correction begins with what was entered. */
export function draftOf(entry: RigEventEntry): EventDraft {
  return {
    ...EMPTY_EVENT,
    event: entry.body.event,
    ago: 'other',
    typedWhen: localDateTime(Date.parse(entry.body.happenedAt)),
    lot: entry.body.lot ?? '',
    wireKg: storedText('wireMass', entry.body.wireKg),
    words: eventWords(entry) ?? '',
    shiftDate: entry.shiftDate,
  };
}

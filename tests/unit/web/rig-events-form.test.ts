import { describe, expect, it } from 'vitest';
import { newEntrySchema } from '#core/journal/entry';
import { eventWords } from '#core/journal/event-words';
import { RIG_EVENTS } from '#core/journal/rig-entries';
import { rememberedPerson, rememberPerson } from '../../../dashboard/web/data/remembered-person.ts';
import {
  draftOf,
  EMPTY_EVENT,
  EVENT_NAMES,
  type EventDraft,
  eventEntry,
  happenedMs,
  missingInEvent,
  type RigEventEntry,
  shiftDateOf,
} from '../../../dashboard/web/views/rig-events/event-form.ts';
import { eventMarks, marksIn } from '../../../dashboard/web/views/trends/event-marks.ts';

const NOW = new Date(2026, 4, 13, 2, 30, 0).getTime();
const frame = { site: 'spread-1', rig: 'rig-3', author: 'p-1', corrects: null };
const tapped = (part: Partial<EventDraft>): EventDraft => ({
  ...EMPTY_EVENT,
  tappedMs: String(NOW),
  ...part,
});

function stored(draft: EventDraft, number: number, corrects: string | null = null): RigEventEntry {
  const entry = newEntrySchema.parse(eventEntry(draft, { ...frame, corrects }, NOW));
  const at = new Date(NOW).toISOString();
  return { ...entry, number, id: `e-${number}`, at, origin: 'simulated' } as RigEventEntry;
}

describe('an event at a rig', () => {
  it('offers every event the journal knows, each once', () => {
    expect([...EVENT_NAMES].sort()).toEqual([...RIG_EVENTS].sort());
  });

  it('needs a lot or a reason only where the event has one', () => {
    const missing = Object.fromEntries(
      EVENT_NAMES.map(event => [event, missingInEvent(tapped({ event }), NOW, false)]),
    );
    expect(missing).toEqual({
      tipChange: [],
      spoolChange: ['lot'],
      gasBottleChange: ['lot'],
      setPointChange: ['reason'],
      stop: ['reason'],
      repair: ['reason'],
      wheelChange: [],
      bandChange: [],
    });
  });

  it('happened when it was tapped, not when it was saved; before 06:00 it belongs to the shift of the day before', () => {
    const draft = tapped({ event: 'tipChange' });
    const entry = eventEntry(draft, frame, NOW + 600_000);
    expect(entry.body).toMatchObject({ happenedAt: new Date(NOW).toISOString() });
    expect(entry.shiftDate).toBe('2026-05-12');
    const later = tapped({ event: 'tipChange', tappedMs: String(new Date(2026, 4, 13, 6, 0, 0).getTime()) });
    expect(shiftDateOf(later, NOW)).toBe('2026-05-13');
    expect(happenedMs(tapped({ event: 'stop', ago: '15' }), NOW)).toBe(NOW - 900_000);
  });

  it('may say how much wire is on a new spool, and says nothing where nothing is typed', () => {
    const spool = (wireKg: string): EventDraft => tapped({ event: 'spoolChange', lot: 'W-1', wireKg });
    const bodyOf = (draft: EventDraft) => newEntrySchema.parse(eventEntry(draft, frame, NOW)).body;
    expect(bodyOf(spool('15,5'))).toMatchObject({ lot: 'W-1', wireKg: 15.5 });
    expect(bodyOf(spool(''))).not.toHaveProperty('wireKg');
    expect(['0', '-1', 'full', '1001'].map(typed => missingInEvent(spool(typed), NOW, false))).toEqual(
      Array(4).fill(['wireKg']),
    );
    expect(bodyOf(tapped({ event: 'tipChange', wireKg: '15' }))).not.toHaveProperty('wireKg');
    expect(draftOf(stored(spool('15'), 1)).wireKg).toBe('15');
  });

  it('takes no time of the future and no half-typed time', () => {
    const ahead = tapped({ event: 'tipChange', ago: 'other', typedWhen: '2026-05-13T03:30' });
    expect(missingInEvent(ahead, NOW, false)).toEqual(['when']);
    expect(missingInEvent({ ...ahead, typedWhen: '' }, NOW, false)).toEqual(
      ['when', 'shiftDate'].slice(0, 1),
    );
  });

  it('is corrected by a new entry that keeps what was said and adds why', () => {
    const first = stored(tapped({ event: 'setPointChange', words: 'feed +0.2, by T. Lund' }), 1);
    expect(first.reason).toBe('feed +0.2, by T. Lund');
    const draft = { ...draftOf(first), event: 'repair' as const, why: 'wrong button' };
    expect(missingInEvent({ ...draft, why: '' }, NOW, true)).toEqual(['why']);
    const second = stored(draft, 2, first.id);
    expect(second).toMatchObject({ corrects: 'e-1', reason: 'wrong button', body: { event: 'repair' } });
    expect([first, second].map(eventWords)).toEqual(['feed +0.2, by T. Lund', 'feed +0.2, by T. Lund']);
  });
});

describe('marks on the charts', () => {
  const first = stored(tapped({ event: 'spoolChange', lot: 'W-1' }), 1);
  const second = stored({ ...draftOf(first), event: 'tipChange', why: 'wrong button' }, 2, first.id);

  it('show what stands, at its moment on the record’s clock', () => {
    const marks = eventMarks([second, first]);
    expect(marks.map(({ label }) => label)).toEqual(['tip']);
    const offset = NOW - 1000;
    expect(marksIn(marks, offset, { fromUs: 0, toUs: 2e6 })).toEqual([{ atUs: 1e6, label: 'tip' }]);
    expect(marksIn(marks, offset, { fromUs: 2e6, toUs: 4e6 })).toEqual([]);
    expect(marksIn(marks, null, { fromUs: 0, toUs: 2e6 })).toEqual([]);
  });
});

describe('who is remembered on a device', () => {
  it('is read as it was kept, and as nobody where storage holds anything else', () => {
    const kept = new Map<string, string>();
    const storage = {
      getItem: (key: string) => kept.get(key) ?? null,
      setItem: (key: string, value: string) => void kept.set(key, value),
    };
    expect(rememberedPerson(storage)).toBeNull();
    rememberPerson(storage, { id: 'p-1', name: 'Ines Marrow' });
    expect(rememberedPerson(storage)).toEqual({ id: 'p-1', name: 'Ines Marrow' });
    kept.set('girthlog.person', '{"id":7}');
    expect(rememberedPerson(storage)).toBeNull();
    kept.set('girthlog.person', '{');
    expect(rememberedPerson(storage)).toBeNull();
  });
});

/** A journal for tests of its folds: entries numbered as they come, and a joint's facts around them. All invented. */
import { type Entry, type EntryBody, type EntryOf, entrySchema, type NewEntry } from '#core/journal/entry';
import { type JointFacts, jointProcedure, type RecordedPass } from '#core/journal/joint-facts';
import { foldJoint } from '#core/journal/joint-fold';
import { movesByPass, recordedPass } from '#core/journal/moved-passes';
import type { PassMessage } from '#core/messages/pass';
import { type Procedure, procedureSchema } from '#core/procedure/procedure';
import { START_MS, testPass } from './test-records.ts';

/** Minutes after the start of the tests' day, as a stamp. */
export const utcAt = (minutes: number): string => new Date(START_MS + minutes * 60_000).toISOString();

export class TestJournal {
  readonly entries: Entry[] = [];

  /** One minute after the entry before unless said otherwise. */
  add<B extends EntryBody>(
    body: B,
    rest: Partial<NewEntry> & { at?: string; id?: string } = {},
  ): EntryOf<B['kind']> {
    const number = this.entries.length + 1;
    const entry = entrySchema.parse({
      number,
      id: `e-${number}`,
      at: utcAt(number),
      origin: 'simulated',
      author: 'p-1',
      shiftDate: '2026-05-12',
      reason: null,
      corrects: null,
      ...rest,
      body,
    });
    this.entries.push(entry);
    return entry as EntryOf<B['kind']>;
  }
}

const band = (quantity: string, unit: string, min: number, max: number) => ({
  quantity,
  unit,
  basis: 'pass',
  min,
  max,
});

/** Root, fill, cap; temperatures and times limited, process and polarity named. */
export const WPS: Procedure = procedureSchema.parse({
  schema: 'girthlog.procedure/1',
  id: 'wps-7',
  revision: 1,
  title: 'For tests',
  pipe: { outsideDiameterMm: 610, wallThicknessMm: 15.9 },
  passes: [
    {
      name: 'root',
      type: 'root',
      process: '135',
      polarity: 'electrodePositive',
      limits: [
        band('weldingCurrent', 'A', 150, 210),
        { quantity: 'preheatTemperature', unit: 'Cel', basis: 'instant', min: 100 },
      ],
    },
    {
      name: 'fill',
      type: 'fill',
      process: '135',
      polarity: 'electrodePositive',
      limits: [
        band('weldingCurrent', 'A', 190, 260),
        { quantity: 'interpassTemperature', unit: 'Cel', basis: 'instant', min: 80, max: 200 },
        { quantity: 'timeBetweenPasses', unit: 's', basis: 'instant', max: 1200 },
      ],
    },
    { name: 'cap', type: 'cap', process: '135', limits: [band('weldingCurrent', 'A', 150, 220)] },
  ],
});

/** A closed pass of joint J-1 that began `minutes` after the start and took ten. */
export function passOf(
  id: string,
  pass: string | null,
  side: 'A' | 'B',
  minutes: number,
  parts: Partial<PassMessage> = {},
): PassMessage {
  const made = testPass(1, {
    passId: id,
    joint: pass === null ? null : 'J-1',
    side: pass === null ? null : side,
    procedureId: WPS.id,
    startUtc: utcAt(minutes),
    endUtc: utcAt(minutes + 10),
    ...parts,
  });
  return { ...made, pass: { ...made.pass, procedurePass: pass } };
}

export interface FactParts extends Partial<Omit<JointFacts, 'recorded' | 'entries'>> {
  readonly passes?: readonly PassMessage[];
  readonly entries?: readonly Entry[];
}

/** Joint J-1 by the WPS, approved, at ten hours after the start. */
export function jointFacts(parts: FactParts = {}): JointFacts {
  const { passes = [], entries = [], joint = 'J-1', ...rest } = parts;
  const moves = movesByPass(entries);
  const recorded = passes
    .map((pass): RecordedPass => recordedPass(pass, null, moves.get(pass.passId) ?? null))
    .sort((a, b) => (a.message.startUtc < b.message.startUtc ? -1 : 1));
  const own = entries.filter(({ body }) => 'joint' in body);
  const bare: JointFacts = {
    joint,
    origin: 'simulated',
    now: utcAt(600),
    today: '2026-05-12',
    entries: own,
    recorded,
    assigned: [],
    procedure: WPS,
    procedureState: 'approved',
    qualifications: entries.filter(
      (entry): entry is EntryOf<'qualification'> => entry.body.kind === 'qualification',
    ),
    nameOf: id => NAMES[id] ?? id,
    ...rest,
  };
  if ('procedure' in parts) return bare;
  const named = jointProcedure(foldJoint(bare).particulars, bare.assigned, recorded);
  return named ? bare : { ...bare, procedure: null, procedureState: 'unknown' };
}

const NAMES: Readonly<Record<string, string>> = { 'p-1': 'Ada Vale', 'p-2': 'Ben Ost', 'p-3': 'Cem Roan' };

/** Everything in order before the root of J-1: whoever adds a fault changes one thing. */
export function readyJournal(): TestJournal {
  const journal = new TestJournal();
  journal.add({
    kind: 'jointOpened',
    joint: 'J-1',
    outsideDiameterMm: 610,
    wallThicknessMm: 15.9,
    procedureId: WPS.id,
    procedureRevision: 1,
  });
  journal.add({ kind: 'consumables', joint: 'J-1', wireLot: 'W-1', gasLot: 'G-1' });
  journal.add({ kind: 'polarityConfirmed', joint: 'J-1', polarity: 'electrodePositive' });
  journal.add({ kind: 'crew', joint: 'J-1', weldSetter: 'p-1', operatorA: 'p-2', operatorB: 'p-3' });
  for (const person of ['p-2', 'p-3']) {
    journal.add({
      kind: 'qualification',
      person,
      process: '135',
      range: 'girth welds, downhill, all diameters above 500 mm',
      expires: '2026-12-31',
    });
  }
  journal.add({
    kind: 'temperatureReading',
    joint: 'J-1',
    quantity: 'preheatTemperature',
    pass: 'root',
    valueCel: 120,
    clock: 3,
    takenAt: utcAt(8),
  });
  return journal;
}

/** The ready journal with one entry taken out or put in. */
export function without(kind: EntryBody['kind']): TestJournal['entries'] {
  return readyJournal().entries.filter(({ body }) => body.kind !== kind);
}
export function withEntry(
  body: EntryBody,
  rest: Parameters<TestJournal['add']>[1] = {},
): TestJournal['entries'] {
  const journal = readyJournal();
  journal.add(body, rest);
  return journal.entries;
}
export const reading = (
  quantity: 'preheatTemperature' | 'interpassTemperature',
  pass: string,
  valueCel: number,
  at: number,
) => ({
  kind: 'temperatureReading' as const,
  joint: 'J-1',
  quantity,
  pass,
  valueCel,
  clock: 6,
  takenAt: utcAt(at),
});
export const released = (pass: string, yes = true) => ({
  kind: 'layerRelease' as const,
  joint: 'J-1',
  pass,
  released: yes,
  ...(yes ? {} : { note: 'undercut at 5 o’clock' }),
});
export const rootDone = [passOf('r-a', 'root', 'A', 10), passOf('r-b', 'root', 'B', 11)];

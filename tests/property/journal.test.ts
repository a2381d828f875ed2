/** Journal folds over generated histories. */

import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Entry, type EntryBody, standing, subjectOf } from '#core/journal/entry';
import { jointState } from '#core/journal/joint-state';
import { rigReadiness } from '#core/journal/readiness';
import { passTableCsv, readPassTable } from '#core/procedure/pass-table';
import { procedureDifferences } from '#core/procedure/procedure-differences';
import { jointFacts, TestJournal, utcAt, WPS } from '../support/journal.ts';

const RIG = { site: 'spread-1', rig: 'rig-a' };
const lot = fc.stringMatching(/^[A-Z]-[0-9]{1,3}$/);
const passName = fc.constantFrom('root', 'fill', 'cap');

/** One entry of any of the kinds that set something different: their order among each other must not matter. */
const unrelated = fc.record({
  opened: fc.record({ station: lot }),
  changed: fc.record({ weather: lot }),
  lots: fc.record({ wireLot: lot }),
  gas: fc.record({ gasLot: lot }),
  hold: fc.boolean(),
  crew: lot,
  released: passName,
  celsius: fc.integer({ min: -20, max: 300 }),
});

function bodiesOf(parts: typeof unrelated extends fc.Arbitrary<infer T> ? T : never): EntryBody[] {
  const joint = 'J-1';
  return [
    { kind: 'jointOpened', joint, ...parts.opened, procedureId: WPS.id, procedureRevision: 1 },
    { kind: 'jointChanged', joint, ...parts.changed },
    { kind: 'consumables', joint, ...parts.lots },
    { kind: 'consumables', joint, ...parts.gas },
    { kind: 'hold', joint, on: parts.hold },
    { kind: 'crew', joint, weldSetter: null, operatorA: parts.crew, operatorB: null },
    { kind: 'layerRelease', joint, pass: parts.released, released: true },
    {
      kind: 'temperatureReading',
      joint,
      quantity: 'preheatTemperature',
      pass: 'root',
      valueCel: parts.celsius,
      clock: null,
      takenAt: utcAt(1),
    },
    { kind: 'polarityConfirmed', joint, polarity: 'electrodePositive' },
  ];
}

/** Each under an id of its own content, at one moment, so that only the order differs. */
function entriesIn(bodies: readonly EntryBody[]): Entry[] {
  const journal = new TestJournal();
  for (const body of bodies) {
    journal.add(body, { id: JSON.stringify(body).slice(0, 60), at: utcAt(5), reason: 'said so' });
  }
  return journal.entries;
}

describe('journal folds', () => {
  it('the order of unrelated entries does not matter', () => {
    fc.assert(
      fc.property(
        unrelated.chain(parts => {
          const bodies = bodiesOf(parts);
          return fc.tuple(fc.constant(bodies), fc.shuffledSubarray(bodies, { minLength: bodies.length }));
        }),
        ([inOrder, shuffled]) => {
          const fold = (bodies: readonly EntryBody[]) => {
            const { entries: _entries, ...state } = jointState(jointFacts({ entries: entriesIn(bodies) }));
            return state;
          };
          expect(fold(shuffled)).toEqual(fold(inOrder));
        },
      ),
      { numRuns: 100 },
    );
  });

  it('entries about other joints and rigs change nothing', () => {
    fc.assert(
      fc.property(unrelated, unrelated, (parts, others) => {
        const own = entriesIn(bodiesOf(parts));
        const state = jointState(jointFacts({ entries: own }));
        const foreign = entriesIn(bodiesOf(others).map(body => ({ ...body, joint: 'J-2' }) as EntryBody));
        const mixed = [...own, ...foreign].filter(({ body }) => subjectOf(body) === 'joint J-1');
        expect(jointState(jointFacts({ entries: mixed }))).toEqual(state);
      }),
      { numRuns: 50 },
    );
  });

  it('corrections never lose an original: every entry stays, and exactly the last of each chain stands', () => {
    const step = fc.record({ lot, correctsNewest: fc.boolean() });
    fc.assert(
      fc.property(fc.array(step, { minLength: 1, maxLength: 20 }), steps => {
        const journal = new TestJournal();
        let stands: string[] = [];
        for (const { lot: wireLot, correctsNewest } of steps) {
          const corrects = correctsNewest ? (stands.at(-1) ?? null) : null;
          const added = journal.add(
            { kind: 'consumables', joint: 'J-1', wireLot },
            { corrects, reason: corrects === null ? null : 'read wrong' },
          );
          stands = [...stands.filter(id => id !== corrects), added.id];
        }
        expect(standing(journal.entries).map(({ id }) => id)).toEqual(stands);
        const state = jointState(jointFacts({ entries: journal.entries }));
        expect(state.entries).toEqual(journal.entries);
        expect(state.wireLot).toBe(steps.at(-1)?.lot);
      }),
      { numRuns: 200 },
    );
  });

  it('a rig is ready exactly when nothing of its checks is missing, and each missing one is said with one action', () => {
    const check = fc.record({
      result: fc.constantFrom('pass', 'fail', 'notShown'),
      validUntil: fc.option(fc.integer({ min: 0, max: 2000 }), { nil: null }),
      offsetMs: fc.integer({ min: 0, max: 400 }),
    });
    fc.assert(
      fc.property(fc.array(check, { maxLength: 8 }), fc.integer({ min: 0, max: 3000 }), (checks, now) => {
        const journal = new TestJournal();
        for (const { result, validUntil, offsetMs } of checks) {
          journal.add({
            kind: 'verification',
            ...RIG,
            validUntil: validUntil === null ? null : utcAt(validUntil),
            outcome: { check: 'clock', offsetMs, limitMs: 200, result: result as 'pass', state: 'asFound' },
          });
        }
        const said = rigReadiness({
          ...RIG,
          now: utcAt(now),
          entries: journal.entries,
          channels: null,
          clockOffsetMs: null,
          passesWithoutJoint: [],
        });
        const missing = said.checks.filter(({ state }) => state !== 'valid');
        expect(said.ready).toBe(missing.length === 0);
        expect(said.findings).toHaveLength(missing.length);
        for (const { action, link } of said.findings) {
          expect(action).not.toBe('');
          expect(link).toMatch(/^\/rigs\/spread-1\/rig-a\/verify\//);
        }
      }),
      { numRuns: 200 },
    );
  });
});

describe('procedures', () => {
  const text = fc
    .string({ minLength: 1, maxLength: 30, unit: 'grapheme' })
    .map(value => value.trim())
    .filter(value => value !== '');
  const limit = fc.record({
    quantity: fc.constantFrom('weldingCurrent', 'arcVoltage', 'travelSpeed'),
    basis: fc.constantFrom('pass', 'window', 'instant'),
    min: fc.double({ min: 0.001, max: 10, noNaN: true }),
    max: fc.double({ min: 11, max: 1000, noNaN: true }),
    authority: text,
  });
  const passes = fc.uniqueArray(
    fc.record({ name: text, type: text, limits: fc.array(limit, { maxLength: 4 }) }),
    {
      selector: ({ name }) => name,
      minLength: 1,
      maxLength: 5,
    },
  );

  it('a pass table comes back as it went, whatever is written in it', () => {
    const units = { weldingCurrent: 'A', arcVoltage: 'V', travelSpeed: 'mm/s' } as const;
    fc.assert(
      fc.property(passes, made => {
        const written = made.map(pass => ({
          ...pass,
          limits: pass.limits.map(one => ({ ...one, unit: units[one.quantity as keyof typeof units] })),
        }));
        const csv = passTableCsv(written as Parameters<typeof passTableCsv>[0]);
        expect(readPassTable(parse(csv) as string[][])).toEqual({ ok: true, passes: written });
      }),
      { numRuns: 200 },
    );
  });

  it('a revision differs from itself in nothing', () => {
    expect(procedureDifferences(WPS, { ...WPS, revision: 2 })).toEqual([]);
  });
});

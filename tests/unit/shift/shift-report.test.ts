/** A whole shift from its facts: joints, proof of the rigs, events, alarms. Invented; the rules are the job's own. */
import { describe, expect, it } from 'vitest';
import type { EntryBody } from '#core/journal/entry';
import { shiftSchema } from '#core/messages/api-shift';
import type { PassMessage } from '#core/messages/pass';
import type { ShiftFacts, ShiftRigFacts } from '#core/shift/shift-facts';
import { missingText, shiftJoint } from '#core/shift/shift-joint';
import { shiftReport } from '#core/shift/shift-report';
import { jointFacts, passOf, TestJournal, utcAt } from '../../support/journal.ts';

const RIG = { site: 'spread-1', rig: 'rig-a' };
const SHIFT = { fromUtc: '2026-05-12T06:00:00.000Z', toUtc: '2026-05-13T06:00:00.000Z' };

/** Both sides of the passes named, ten minutes each, from the start of the tests' day on. */
const both = (...names: string[]): PassMessage[] =>
  names.flatMap((name, i) => [
    passOf(`${name}-a`, name, 'A', 20 * i),
    passOf(`${name}-b`, name, 'B', 20 * i + 1),
  ]);

const rigFacts = (parts: Partial<ShiftRigFacts> = {}): ShiftRigFacts => ({
  ...RIG,
  entries: [],
  channels: null,
  sinceSpool: [],
  alarms: 0,
  ...parts,
});

function facts(passes: readonly PassMessage[], parts: Partial<ShiftFacts> = {}): ShiftFacts {
  return {
    date: '2026-05-12',
    zone: 'UTC',
    ...SHIFT,
    now: utcAt(24 * 60),
    site: null,
    sites: ['spread-1'],
    origin: 'simulated',
    origins: ['simulated'],
    passes: passes.map(message => ({
      message,
      work: { joint: message.joint, side: message.side, pass: message.pass.procedurePass },
      changes: 0,
    })),
    joints: [],
    rigs: [rigFacts()],
    dashboardAlarms: 0,
    alarmsReason: null,
    nameOf: id => (id === 'p-1' ? 'Ada Vale' : id),
    ...parts,
  };
}

describe('a joint at the end of a shift', () => {
  const standing = (passes: readonly PassMessage[], entries: TestJournal['entries'] = []) =>
    shiftJoint(jointFacts({ passes, entries }), []);

  it('is complete where every pass of the procedure is there on both sides', () => {
    expect(standing(both('root', 'fill', 'cap'))).toMatchObject({ complete: true, missing: [], text: null });
  });

  it('says what is missing in the order of the procedure, and what is still open', () => {
    const passes = [
      ...both('root'),
      passOf('f', 'fill', 'A', 60),
      passOf('o', 'fill', 'B', 61, { state: 'open' }),
    ];
    expect(standing(passes)).toMatchObject({ complete: false, text: 'fill B still open; cap A and B' });
  });

  it('counts what was logged elsewhere', () => {
    const journal = new TestJournal();
    journal.add({
      kind: 'loggedElsewhere',
      joint: 'J-1',
      side: null,
      pass: 'cap',
      weldedBy: 'B. Example',
      how: 'by hand',
      weldedAt: utcAt(100),
    });
    expect(standing(both('root', 'fill'), journal.entries).complete).toBe(true);
  });

  it('of an unknown procedure is neither complete nor incomplete', () => {
    const known = shiftJoint(jointFacts({ passes: both('root'), procedure: null }), []);
    expect(known).toMatchObject({ complete: null, missing: [] });
    expect(known.text).toContain('not known');
  });

  it('in words, both sides of a pass together', () => {
    expect(
      missingText([
        { pass: 'root', side: 'B', state: 'none' },
        { pass: 'cap', side: 'A', state: 'open' },
        { pass: 'cap', side: 'B', state: 'none' },
      ]),
    ).toBe('root B; cap A still open; cap B');
  });
});

describe('a shift', () => {
  it('fits its schema, with work and without', () => {
    const worked = shiftReport(
      facts(both('root', 'fill'), { joints: [jointFacts({ passes: both('root') })] }),
    );
    expect(shiftSchema.parse(worked)).toEqual(worked);
    const empty = shiftReport(facts([], { rigs: [] }));
    expect(shiftSchema.parse(empty)).toEqual(empty);
    expect(empty.total.arcTimeS).toBeNull();
  });

  it('runs until its end', () => {
    expect(shiftReport(facts([], { now: utcAt(60) })).running).toBe(true);
    expect(shiftReport(facts([])).running).toBe(false);
  });

  it('shows stops, spools and bottles entered for it, with words, lot, mass and who', () => {
    const journal = new TestJournal();
    const event = (body: Partial<Extract<EntryBody, { kind: 'rigEvent' }>>, shiftDate = '2026-05-12') =>
      journal.add(
        { kind: 'rigEvent', ...RIG, event: 'stop', happenedAt: utcAt(30), ...body },
        { shiftDate, reason: body.event === undefined ? 'rain' : null },
      );
    event({});
    event({ event: 'tipChange' });
    event({ event: 'spoolChange', happenedAt: utcAt(10), lot: 'W-1', wireKg: 15 });
    // Past midnight, entered for the shift that began the day before; and one of the next shift.
    event({ event: 'gasBottleChange', happenedAt: utcAt(17 * 60), lot: 'G-1' });
    event({}, '2026-05-13');
    const report = shiftReport(facts([], { rigs: [rigFacts({ entries: journal.entries })] }));
    expect(report.events.map(({ event, words, lot, wireKg, by }) => [event, words, lot, wireKg, by])).toEqual(
      [
        ['spoolChange', null, 'W-1', 15, 'Ada Vale'],
        ['stop', 'rain', null, null, 'Ada Vale'],
        ['gasBottleChange', null, 'G-1', null, 'Ada Vale'],
      ],
    );
    expect(report.rigs[0]).toMatchObject({ spoolChanges: 1, bottleChanges: 1 });
    expect(report.rigs[0]?.spool).toMatchObject({ leftKg: 15, lot: 'W-1' });
  });

  it('alarms of a time the log does not know are not known', () => {
    const rigs = [rigFacts({ alarms: 3 }), rigFacts({ rig: 'rig-b', alarms: 4 })];
    expect(shiftReport(facts([], { rigs })).alarms.rigs).toBe(7);
    const unknown = facts([], { rigs: [rigFacts({ alarms: null })], alarmsReason: 'not logged then' });
    expect(shiftReport(unknown).alarms).toEqual({ rigs: null, dashboard: 0, reason: 'not logged then' });
  });
});

describe('the proof of a rig', () => {
  const clockOk = (at: number, validUntil: string | null, result: 'pass' | 'fail' = 'pass') => ({
    body: {
      kind: 'verification' as const,
      ...RIG,
      validUntil,
      outcome: { check: 'clock' as const, offsetMs: 10, limitMs: 200, result, state: 'asFound' as const },
    },
    at: utcAt(at),
  });
  const proofOf = (checks: readonly ReturnType<typeof clockOk>[]) => {
    const journal = new TestJournal();
    for (const { body, at } of checks) journal.add(body, { at });
    const passes = [passOf('r-a', 'root', 'A', 60)];
    return shiftReport(facts(passes, { rigs: [rigFacts({ entries: journal.entries })] })).rigs[0]!
      .verification;
  };
  const lacks = (standing: { missing: readonly { check: string; state: string }[] } | null) =>
    standing?.missing.find(({ check }) => check === 'clock')?.state ?? 'holds';

  it('before is by what had been entered as the first arc began, after by the end of the shift', () => {
    const proof = proofOf([clockOk(90, utcAt(3000))]);
    expect(proof.before).toMatchObject({ at: utcAt(60), ready: false, validUntil: null });
    expect([lacks(proof.before), lacks(proof.after)]).toEqual(['missing', 'holds']);
    expect(proof.after.validUntil).toBe(utcAt(3000));
    expect(proof.after.words[0]).toMatch(/^Travel: no check is entered\.$/);
    expect(proof.checkedAfter).toMatchObject([{ check: 'clock', result: 'pass' }]);
  });

  it('a check that fell due within the shift holds before and not after', () => {
    const proof = proofOf([clockOk(10, utcAt(120))]);
    expect([lacks(proof.before), lacks(proof.after)]).toEqual(['holds', 'expired']);
    expect(proof.before?.validUntil).toBe(utcAt(120));
    expect(proof.checkedAfter).toEqual([]);
  });

  it('without an arc there is no before', () => {
    expect(shiftReport(facts([])).rigs[0]?.verification.before).toBeNull();
  });
});

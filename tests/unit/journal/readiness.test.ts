/** When a check of a rig is due, and what a rig that is not ready says. Intervals and causes: common practice, no source. */
import { describe, expect, it } from 'vitest';
import type { EntryBody } from '#core/journal/entry';
import { type RigFacts, rigReadiness } from '#core/journal/readiness';
import type { CheckName } from '#core/journal/rig-entries';
import { rigReadinessSchema } from '#core/messages/api-journal';
import { TestJournal, utcAt } from '../../support/journal.ts';

const RIG = { site: 'spread-1', rig: 'rig-a' };
type Body<K extends EntryBody['kind']> = Extract<EntryBody, { kind: K }>;

function check(
  name: CheckName,
  parts: Partial<{
    result: 'pass' | 'fail' | 'notShown';
    validUntil: string | null;
    referenceDue: string;
  }> = {},
): Body<'verification'> {
  const { result = 'pass', validUntil = utcAt(720), referenceDue = '2026-11-01T00:00:00.000Z' } = parts;
  const outcome = {
    errorPercent: 0.4,
    expandedUncertaintyPercent: 0.8,
    limitPercent: 2,
    result,
    state: 'asFound' as const,
  };
  const run = {
    runS: 15,
    measuredMm: 112.5,
    tapeUncertaintyMm: 1,
    stopwatchUncertaintyS: 0.2,
    shownMmPerS: 7.53,
    edgeMmPerS: null,
    measuredMmPerS: 7.5,
  };
  const body = { kind: 'verification' as const, ...RIG, validUntil };
  if (name === 'travel') return { ...body, outcome: { check: name, tapeOn: 'pipe', ...run, ...outcome } };
  if (name === 'wireFeed') return { ...body, outcome: { check: name, ...run, ...outcome } };
  if (name === 'clock') {
    return { ...body, outcome: { check: name, offsetMs: 12, limitMs: 200, result, state: 'asFound' } };
  }
  return {
    ...body,
    outcome: {
      check: name,
      shown: 24,
      reference: 24.1,
      unit: 'V',
      referenceSerial: 'M-1',
      referenceDue,
      referenceUncertainty: 0.1,
      ...outcome,
    },
  };
}

const REQUIRED = ['travel', 'wireFeed', 'arcVoltage', 'weldingCurrent', 'clock'] as const;

function checked(): TestJournal {
  const journal = new TestJournal();
  for (const name of REQUIRED) journal.add(check(name));
  return journal;
}

const readiness = (journal: TestJournal, parts: Partial<RigFacts> = {}) =>
  rigReadinessSchema.parse(
    rigReadiness({
      ...RIG,
      now: utcAt(60),
      entries: journal.entries,
      channels: ['weldingCurrent', 'arcVoltage', 'travelSpeed', 'wireFeedSpeed'],
      clockOffsetMs: null,
      passesWithoutJoint: [],
      ...parts,
    }),
  );
const stateOf = (journal: TestJournal, name: CheckName, parts: Partial<RigFacts> = {}) =>
  readiness(journal, parts).checks.find(one => one.check === name);
const event = (name: Body<'rigEvent'>['event'], minutes: number, lot?: string): Body<'rigEvent'> => ({
  kind: 'rigEvent',
  ...RIG,
  event: name,
  happenedAt: utcAt(minutes),
  ...(lot === undefined ? {} : { lot }),
});

describe('readiness', () => {
  it('a rig with every check is ready and says nothing', () => {
    expect(readiness(checked())).toMatchObject({ ready: true, findings: [] });
  });

  it('a rig without any lists each in words, with the one action and where', () => {
    const { ready, findings, checks } = readiness(new TestJournal());
    expect(ready).toBe(false);
    expect(checks.map(one => [one.check, one.state])).toEqual(REQUIRED.map(name => [name, 'missing']));
    expect(findings[0]).toEqual({
      code: 'checkMissing',
      text: 'Travel: no check is entered.',
      action: 'Do the travel check.',
      link: '/rigs/spread-1/rig-a/verify/travel',
    });
    expect(findings).toHaveLength(REQUIRED.length);
  });

  it('asks for gas flow and temperature where the rig measures them', () => {
    const { findings } = readiness(checked(), { channels: ['gasFlow', 'temperature'] });
    expect(findings.map(one => one.text)).toEqual([
      'Gas flow: no check is entered.',
      'Temperature instrument: no check is entered.',
    ]);
    const journal = checked();
    journal.add(check('gasFlow', { result: 'fail', validUntil: null }));
    expect(stateOf(journal, 'gasFlow')?.state).toBe('failed');
  });

  it.each([
    ['fail', 'failed', 'checkFailed'],
    ['notShown', 'notShown', 'checkNotShown'],
  ] as const)('a check that says %s is %s; the next one that passes mends it', (result, state, code) => {
    const journal = checked();
    journal.add(check('travel', { result, validUntil: null }));
    expect(stateOf(journal, 'travel')?.state).toBe(state);
    expect(readiness(journal).findings.map(one => one.code)).toEqual([code]);
    journal.add(check('travel'));
    expect(readiness(journal).ready).toBe(true);
  });

  it('by time: valid up to the moment it says, expired from it on', () => {
    const journal = checked();
    journal.add(check('arcVoltage', { validUntil: utcAt(120) }));
    expect(stateOf(journal, 'arcVoltage', { now: utcAt(119) })).toMatchObject({
      state: 'valid',
      dueAt: utcAt(120),
    });
    expect(stateOf(journal, 'arcVoltage', { now: utcAt(120) })?.state).toBe('expired');
    expect(readiness(journal, { now: utcAt(120) }).findings[0]?.text).toBe(
      'Arc voltage: due since 2026-05-12 10:00 UTC.',
    );
  });

  it('by time: where the entry does not say, as the rule says', () => {
    const journal = checked();
    journal.add(check('travel', { validUntil: null }), { at: utcAt(30) });
    expect(stateOf(journal, 'travel')?.dueAt).toBe(utcAt(30 + 24 * 60));
  });

  it('by shift: midnight alone ends nothing, an entry of the next shift does', () => {
    const journal = checked();
    journal.add(check('travel', { validUntil: '2026-05-14T12:00:00.000Z' }), {
      at: '2026-05-12T22:00:00.000Z',
    });
    journal.add(event('tipChange', 1), { at: '2026-05-13T00:30:00.000Z', shiftDate: '2026-05-12' });
    expect(stateOf(journal, 'travel', { now: '2026-05-13T01:00:00.000Z' })?.state).toBe('valid');
    journal.add(event('tipChange', 2), { at: '2026-05-13T08:00:00.000Z', shiftDate: '2026-05-13' });
    expect(stateOf(journal, 'travel', { now: '2026-05-13T08:01:00.000Z' })).toMatchObject({
      state: 'expired',
      dueAt: '2026-05-13T08:00:00.000Z',
      why: 'new shift of 2026-05-13',
    });
  });

  it.each<[Body<'rigEvent'>['event'], CheckName[]]>([
    ['repair', ['travel', 'wireFeed', 'arcVoltage', 'weldingCurrent']],
    ['wheelChange', ['travel']],
    ['bandChange', ['travel']],
    ['tipChange', []],
    ['stop', []],
    ['setPointChange', []],
  ])('after a %s: %j due', (name, due) => {
    const journal = checked();
    journal.add(event(name, 30));
    const expired = readiness(journal).checks.filter(one => one.state === 'expired');
    expect(expired.map(one => one.check)).toEqual(due);
    for (const one of expired) expect(one.dueAt).toBe(utcAt(30));
  });

  it('after a repair that was before the check, and is entered late: nothing is due', () => {
    const journal = checked();
    journal.add(event('repair', 0), { at: utcAt(40) });
    expect(readiness(journal).ready).toBe(true);
  });

  it('after a correction factor: the reading has to be checked again', () => {
    const journal = checked();
    journal.add(
      { kind: 'correction', ...RIG, channel: 'travelSpeed', factor: 0.985, previous: 1, from: utcAt(20) },
      { reason: 'tape shows 1.5 % less' },
    );
    const { checks, corrections } = readiness(journal);
    expect(checks.filter(one => one.state === 'expired')).toMatchObject([
      { check: 'travel', why: 'correction factor changed from 1 to 0.985' },
    ]);
    expect(corrections).toEqual([
      { channel: 'travelSpeed', factor: 0.985, previous: 1, from: utcAt(20), author: 'p-1' },
    ]);
    journal.add(check('travel'));
    expect(readiness(journal).ready).toBe(true);
  });

  it('a spool or a bottle changed without its lot is said, and keeps nobody from being ready', () => {
    const journal = checked();
    journal.add(event('spoolChange', 20));
    journal.add(event('gasBottleChange', 21));
    expect(readiness(journal)).toMatchObject({
      ready: true,
      findings: [{ code: 'spoolChangeLotMissing' }, { code: 'gasBottleChangeLotMissing' }],
    });
    journal.add(event('spoolChange', 22, 'W-2'));
    journal.add(event('gasBottleChange', 23, 'G-2'));
    expect(readiness(journal).findings).toEqual([]);
  });

  it('a check by an instrument whose calibration has run out proves nothing', () => {
    const journal = checked();
    journal.add(check('arcVoltage', { referenceDue: utcAt(50) }));
    expect(readiness(journal, { now: utcAt(49) }).ready).toBe(true);
    expect(readiness(journal)).toMatchObject({ ready: false, findings: [{ code: 'referenceOverdue' }] });
  });

  // Clocks of two rigs agree to 0.2 s: 1 s is 4 to 22 mm of weld.
  it.each([
    [200, 'valid'],
    [-200, 'valid'],
    [201, 'failed'],
    [-350, 'failed'],
  ] as const)('clock: the edge reports %i ms: %s', (clockOffsetMs, state) => {
    const journal = new TestJournal();
    expect(stateOf(journal, 'clock', { clockOffsetMs })?.state).toBe(state);
    expect(stateOf(checked(), 'clock', { clockOffsetMs })?.state).toBe(state);
  });

  it('clock: what a person found out of its limit stands until it is checked again', () => {
    const journal = checked();
    journal.add(check('clock', { result: 'fail', validUntil: null }));
    expect(stateOf(journal, 'clock', { clockOffsetMs: 3 })?.state).toBe('failed');
  });

  it('passes that count for no joint are said', () => {
    const one = readiness(checked(), { passesWithoutJoint: ['x'] });
    expect(one).toMatchObject({
      ready: true,
      findings: [{ code: 'passWithoutJoint', text: 'One pass counts for no joint.' }],
    });
  });

  it('torches of one carriage share its id', () => {
    const journal = checked();
    journal.add({ kind: 'carriage', ...RIG, carriageId: 'bug-3' });
    expect(readiness(journal).carriageId).toBe('bug-3');
  });

  it('a check that was entered wrong is out of it, and the one before stands again', () => {
    const journal = checked();
    const wrong = journal.add(check('wireFeed', { result: 'fail', validUntil: null }));
    journal.add(check('wireFeed'), { corrects: wrong.id, reason: 'length of the other rig' });
    expect(readiness(journal).ready).toBe(true);
  });
});

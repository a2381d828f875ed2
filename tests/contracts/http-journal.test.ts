/** The journal over HTTP: what is taken, and what is refused with which sentence. */
import { describe, expect, it } from 'vitest';
import type { EntryBody } from '#core/journal/entry';
import { problem } from '../support/http-answers.ts';
import { journal, lots, moved, opened, RIG, status } from '../support/http-journal.ts';

describe('entries', () => {
  it('get a number, a time, the origin of what they are about, and are listed newest first in pages', async () => {
    const { enter, read } = await journal();
    const first = await enter(lots('W-1'));
    expect(first).toMatchObject({ number: 1, origin: 'simulated', shiftDate: '2026-05-12' });
    for (const lot of ['W-2', 'W-3']) await enter(lots(lot));
    await enter({ kind: 'carriage', ...RIG, carriageId: 'bug-1' });
    const page = await read('/api/v1/entries?subject=joint%20J-0001&limit=2');
    expect(page.entries.map(entry => entry.number)).toEqual([3, 2]);
    const rest = await read(`/api/v1/entries?subject=joint%20J-0001&limit=2&before=${page.next}`);
    expect(rest.entries).toEqual([first]);
    expect((await read('/api/v1/entries?kind=carriage')).entries).toHaveLength(1);
    expect((await read('/api/v1/entries?subject=rig%20spread-1/rig-a')).entries).toHaveLength(1);
  });

  it('a correction needs what it corrects, of its kind and subject, a reason, and is made once', async () => {
    const { enter, refused, read } = await journal();
    const wrong = await enter(lots('W-9'));
    const correct = { corrects: wrong.id, reason: 'read upside down' };
    expect(await refused(lots('W-6'), { ...correct, corrects: 'nothing' })).toBe('422 entryUnknown');
    expect(await refused(lots('W-6'), { ...correct, reason: null })).toBe('422 reasonMissing');
    expect(await refused(lots('W-6', 'J-0002'), correct)).toBe('422 correctionOther');
    expect(await refused(opened('J-0001'), correct)).toBe('422 correctionOther');
    const right = await enter(lots('W-6'), correct);
    expect(await refused(lots('W-5'), correct)).toBe('409 entryCorrected');
    const { entries } = await read('/api/v1/entries?subject=joint%20J-0001');
    expect(entries).toEqual([right, wrong]);
  });

  it('are refused with one sentence, and nothing is stored', async () => {
    const { refused, read, author } = await journal();
    const reason = 'said so';
    const ahead = '2999-01-01T00:00:00.000Z';
    const event = { kind: 'rigEvent' as const, ...RIG, event: 'repair' as const, happenedAt: ahead };
    expect(await refused(lots('W-1'), { author: 'nobody' })).toBe('422 authorUnknown');
    expect(await refused({ kind: 'hold', joint: 'J-0001', on: true })).toBe('422 reasonMissing');
    expect(await refused(moved())).toBe('422 reasonMissing');
    expect(await refused(status('approved'))).toBe('422 reasonMissing');
    expect(await refused(lots('W-1'), { shiftDate: '2999-01-01' })).toBe('422 shiftDateAhead');
    expect(await refused(event)).toBe('422 timeAhead');
    const crew = {
      kind: 'crew' as const,
      joint: 'J-0001',
      weldSetter: author,
      operatorA: 'nobody',
      operatorB: null,
    };
    expect(await refused(crew)).toBe('422 personUnknown');
    const qualification = {
      kind: 'qualification' as const,
      person: 'nobody',
      process: '135',
      range: 'all',
      expires: '2027-01-01',
    };
    expect(await refused(qualification)).toBe('422 personUnknown');
    expect(await refused(moved({ passId: 'none' }), { reason })).toBe('422 passUnknown');
    expect(await refused(moved({ procedureRevision: 9 }), { reason })).toBe('422 procedureUnknown');
    expect(await refused(moved({ pass: 'fill 9' }), { reason })).toBe('422 procedurePassUnknown');
    expect(await refused(status('approved', 9), { reason })).toBe('422 procedureUnknown');
    expect((await read('/api/v1/entries')).entries).toEqual([]);
  });

  it('a body that fits no kind is refused naming where', async () => {
    const { post, author } = await journal();
    const frame = { author, shiftDate: '2026-05-12', reason: null, corrects: null };
    const bad = [
      { ...frame, body: { kind: 'wish', joint: 'J-1' } },
      { ...frame, body: { kind: 'consumables', joint: 'J-1', wireLot: 7 } },
      { ...frame, body: { kind: 'consumables', joint: 'J-1', colour: 'blue' } },
      { ...frame, shiftDate: 'yesterday', body: lots('W-1') },
      {
        ...frame,
        body: {
          kind: 'temperatureReading',
          joint: 'J-1',
          quantity: 'preheatTemperature',
          pass: 'root',
          valueCel: 1e9,
          clock: 13,
          takenAt: 'now',
        },
      },
    ];
    for (const one of bad)
      expect((await problem(await post('/api/v1/entries', one))).code).toBe('bodyInvalid');
  });

  it('a joint number is opened once', async () => {
    const { enter, send } = await journal();
    await enter(opened('J-0001'));
    const refusal = await problem(await send(opened('J-0001')));
    expect(refusal).toMatchObject({ status: 409, code: 'jointNumberUsed' });
    expect(refusal.detail).toMatch(/J-0001 was opened on .* by A\. Example and has 1 recorded passes/);
  });

  it('a check whose result its own numbers contradict is refused', async () => {
    const { enter, refused } = await journal();
    const verification = (result: 'pass' | 'fail' | 'notShown', errorPercent: number): EntryBody => ({
      kind: 'verification',
      ...RIG,
      validUntil: null,
      outcome: {
        check: 'wireFeed',
        runS: 6,
        measuredMm: 1000,
        tapeUncertaintyMm: 1,
        stopwatchUncertaintyS: 0.2,
        shownMmPerS: 167,
        edgeMmPerS: null,
        measuredMmPerS: 166.7,
        errorPercent,
        expandedUncertaintyPercent: 0.5,
        limitPercent: 2,
        result,
        state: 'asFound',
      },
    });
    expect(await refused(verification('pass', 1.8))).toBe('422 checkInconsistent');
    expect(await refused(verification('fail', 1.8))).toBe('422 checkInconsistent');
    expect(await refused(verification('pass', 5))).toBe('422 checkInconsistent');
    await enter(verification('notShown', 1.8));
    await enter(verification('fail', 2.6));
    await enter(verification('pass', 1.5));
  });
});

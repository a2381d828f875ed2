/** Enrolment over HTTP: what a board shows, what it gets, and every way in which it gets nothing. */
import { describe, expect, it } from 'vitest';
import { ROUTES } from '../../dashboard/server/api/route-table.ts';
import { boardKeys } from '../support/enrolled-truck.ts';
import { answer, problem } from '../support/http-answers.ts';
import { AS_PROGRAM } from '../support/program-token.ts';
import { startTestDashboard } from '../support/test-dashboard.ts';

const RIG_A = { site: 'spread-1', rig: 'rig-a' };
const RIG_B = { site: 'spread-1', rig: 'rig-b' };
const ENROLMENTS = '/api/v1/enrolments';
const MINUTE_MS = 60_000;

describe('enrolment', () => {
  it('gives a board with the code of its rig what the broker asks for, and knows its seal key', async () => {
    const { post, get, store, counts } = await startTestDashboard();
    const made = await post('/api/v1/rigs/spread-1/rig-a/machine/codes', {});
    const { code } = await answer(ROUTES.makeMachineCode, made);
    const keys = boardKeys(RIG_A);
    // As people type it: small letters, no hyphens.
    const asked = await post(ENROLMENTS, keys.with(code.toLowerCase().replaceAll('-', '')), {
      authorization: '',
    });
    const enrolled = await answer(ROUTES.enrol, asked);
    expect(enrolled).toMatchObject({ ...RIG_A, store: 'truck', credential: { kind: 'secret' } });
    const { machines } = await answer(ROUTES.machines, await get('/api/v1/machines'));
    expect(machines).toMatchObject([{ ...RIG_A, kind: 'secret', state: 'valid', decidedBy: null }]);
    expect(JSON.stringify(machines)).not.toContain((enrolled.credential as { secret: string }).secret);
    expect(store.seals.keys(RIG_A)).toMatchObject([
      { publicKey: keys.request.sealPublicKey, state: 'pinned', how: 'enrolled', decidedBy: 'program test' },
    ]);
    expect(counts).toMatchObject({ machineEnrolled: 1 });
  });

  it('refuses a code that is wrong, used, of another rig, too old, or made worthless by a newer one', async () => {
    let nowMs = Date.parse('2026-05-12T08:00:00Z');
    const now = () => new Date(nowMs);
    const { post, desk, counts } = await startTestDashboard({ now });
    const refused = async (code: string, rig = RIG_A) => {
      const response = await post(ENROLMENTS, boardKeys(rig).with(code));
      return (await problem(response)).code;
    };
    // From here every wrong code would make the next wait; the address is free of that twice.
    const first = desk.makeCode(RIG_A, 'test').code;
    expect(await refused('0000-0000-0000')).toBe('codeWrong');
    expect(await refused(first, RIG_B)).toBe('codeWrong');
    expect((await post(ENROLMENTS, boardKeys(RIG_A).with(first))).status).toBe(201);
    expect(await refused(first)).toBe('codeWrong');
    const old = desk.makeCode(RIG_A, 'test').code;
    nowMs += 16 * MINUTE_MS;
    expect(await refused(old)).toBe('codeWrong');
    const ok = desk.makeCode(RIG_B, 'test').code;
    expect((await post(ENROLMENTS, boardKeys(RIG_B).with(ok))).status).toBe(201);
    const older = desk.makeCode(RIG_A, 'test').code;
    desk.makeCode(RIG_A, 'test');
    expect(await refused(older)).toBe('codeWrong');
    expect(counts['enrolmentRefused']).toBe(5);
  });

  it('looks at a few guesses a minute, and lets in who has the code afterwards', async () => {
    let monotonic = 0;
    const { post, desk } = await startTestDashboard({ monotonicMs: () => monotonic });
    const { code } = desk.makeCode(RIG_A, 'test');
    let looked = 0;
    for (let second = 0; second < 60; second++) {
      monotonic += 1000;
      for (let guess = 0; guess < 4; guess++) {
        const response = await post(ENROLMENTS, boardKeys(RIG_A).with(`guess-${second}-${guess}`));
        const said = (await problem(response)).code;
        expect(['codeWrong', 'codeWait']).toContain(said);
        if (said === 'codeWrong') looked++;
      }
    }
    // Promise of the house: at most 20 guesses a minute are looked at.
    expect(looked).toBeLessThanOrEqual(20);
    monotonic += MINUTE_MS;
    expect((await post(ENROLMENTS, boardKeys(RIG_A).with(code))).status).toBe(201);
  });

  it('refuses a board that has not the keys it shows, and keeps the code', async () => {
    const { post, desk } = await startTestDashboard();
    const { code } = desk.makeCode(RIG_A, 'test');
    const [mine, others] = [boardKeys(RIG_A).with(code), boardKeys(RIG_A).with(code)];
    const forged = [
      { ...mine, proof: others.proof },
      { ...mine, sealProof: others.sealProof },
      { ...mine, sealPublicKey: others.sealPublicKey },
      { ...mine, publicKey: others.publicKey },
      // Recorded for another code: not good for this one.
      { ...boardKeys(RIG_A).with('0000-0000-0000'), code },
    ];
    for (const request of forged) {
      expect((await problem(await post(ENROLMENTS, request))).code).toBe('proofWrong');
    }
    expect((await post(ENROLMENTS, mine)).status).toBe(201);
  });

  it('lets only an administrator make codes and revoke', async () => {
    const { get, post, desk } = await startTestDashboard();
    const nobody = { authorization: '' };
    for (const path of ['codes', 'revocations']) {
      const response = await post(
        `/api/v1/rigs/spread-1/rig-a/machine/${path}`,
        { reason: 'stolen' },
        nobody,
      );
      expect([401, 403]).toContain(response.status);
    }
    const { code } = desk.makeCode(RIG_A, 'test');
    await post(ENROLMENTS, boardKeys(RIG_A).with(code));
    const revoke = '/api/v1/rigs/spread-1/rig-a/machine/revocations';
    const { machines } = await answer(ROUTES.revokeMachine, await post(revoke, { reason: 'stolen' }));
    expect(machines).toMatchObject([{ state: 'revoked', reason: 'stolen', decidedBy: 'program test' }]);
    expect((await problem(await post(revoke, { reason: 'stolen' }))).code).toBe('machineUnknown');
    const { entries } = await answer(ROUTES.audit, await get('/api/v1/audit?limit=10', AS_PROGRAM));
    expect(entries.map(({ what, detail }) => ({ what, detail })).slice(0, 2)).toEqual([
      { what: 'machineRevoked', detail: 'spread-1/rig-a: stolen' },
      { what: 'machineEnrolled', detail: 'spread-1/rig-a' },
    ]);
  });

  it('takes the key of a new board in place of the old one, whose seals count no more', async () => {
    const { post, desk, store } = await startTestDashboard();
    const boards = [boardKeys(RIG_A), boardKeys(RIG_A)];
    for (const board of boards) {
      await post(ENROLMENTS, board.with(desk.makeCode(RIG_A, 'test').code), AS_PROGRAM);
    }
    expect(store.seals.keys(RIG_A).map(({ publicKey, state }) => ({ publicKey, state }))).toEqual([
      { publicKey: boards[0]!.request.sealPublicKey, state: 'retired' },
      { publicKey: boards[1]!.request.sealPublicKey, state: 'pinned' },
    ]);
    expect(desk.machines().map(({ state }) => state)).toEqual(['valid', 'replaced']);
  });
});

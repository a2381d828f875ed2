/** One joint in one signed document, what a third party makes of it, and the check of a joint where it is kept. */
import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import type { VerifyProblem } from '#core/messages/api-verify';
import { canonicalJson } from '#core/record/canonical-json';
import type { SignedJointRecord } from '#core/record/joint-record';
import { ROUTES } from '../../dashboard/server/api/route-table.ts';
import { inSteps } from '../../dashboard/server/in-steps.ts';
import { checkJointRecord } from '../../dashboard/server/verify/check-joint-record.ts';
import { Tally } from '../../dashboard/server/verify/tally.ts';
import { verifyJoint } from '../../dashboard/server/verify/verify-joint.ts';
import { answer, problem } from '../support/http-answers.ts';
import { edgeKey, SealedStream, sealedDay } from '../support/sealed-store.ts';
import { startTestDashboard } from '../support/test-dashboard.ts';
import { STREAM, testPass } from '../support/test-records.ts';

const RECORD = '/api/v1/joints/J-0001/record';

async function day() {
  const dashboard = await startTestDashboard();
  for (const record of sealedDay()) dashboard.receive('girthlog/1/spread-1/rig-a/record', record);
  await dashboard.settle();
  const person = await answer(
    ROUTES.addPerson,
    await dashboard.post('/api/v1/people', { name: 'R. Example', roles: ['reviewer'] }),
  );
  const passphrase = 'seven brown kettles';
  await dashboard.post(`/api/v1/people/${person.id}/passphrase`, {
    author: person.id,
    authorPassphrase: null,
    passphrase,
  });
  await answer(
    ROUTES.addDisposition,
    await dashboard.post('/api/v1/joints/J-0001/dispositions', {
      ...{ author: person.id, passphrase, shiftDate: '2026-05-12', corrects: null },
      ...{ decision: 'repair', reason: 'lack of fusion at 4 o’clock' },
    }),
  );
  const exported = async (): Promise<SignedJointRecord> =>
    (await answer(ROUTES.jointRecord, await dashboard.get(RECORD))) as SignedJointRecord;
  return { ...dashboard, person, exported };
}

/** The sentence, or null where everything in it fits. */
function found(record: unknown, trust: readonly string[] = []): VerifyProblem | null {
  const result = checkJointRecord(record, new Set(trust), new Tally());
  return 'part' in result ? result : null;
}

describe('a joint record', () => {
  it('holds passes with their seals and entries with their signatures, and fits', async () => {
    const { exported, person, get } = await day();
    const signed = await exported();
    const { record } = signed;
    expect(
      record.passes.map(({ pass, counts, seal, batch }) => [pass.passId, counts, seal !== null, batch?.seq]),
    ).toEqual([
      [`${STREAM}:1`, true, true, 5],
      [`${STREAM}:2`, true, true, 9],
    ]);
    expect(record.entries.map(({ document }) => document.entry.body)).toEqual([
      { kind: 'disposition', joint: 'J-0001', decision: 'repair' },
    ]);
    expect(record.people).toEqual([{ id: person.id, name: 'R. Example' }]);
    expect(record.journal.number).toBe(2);
    const keys = await answer(ROUTES.keys, await get('/api/v1/keys'));
    expect(found(signed, [keys.dashboard.fingerprint])).toBeNull();
    expect(JSON.stringify(signed)).not.toMatch(/kettles|scrypt/);
  });

  it('is sent as its one canonical text', async () => {
    const { get } = await day();
    const response = await get(RECORD);
    expect(response.headers.get('content-type')).toContain('application/json');
    const text = await response.text();
    const value = JSON.parse(text) as SignedJointRecord;
    expect(text).toBe(canonicalJson(value));
    expect(createHash('sha256').update(canonicalJson(value.record)).digest('hex')).toBe(value.hash);
  });

  it('of a joint nobody knows is refused', async () => {
    const { get } = await day();
    for (const what of ['record', 'verification']) {
      expect(await problem(await get(`/api/v1/joints/J-0999/${what}`))).toMatchObject({
        code: 'jointUnknown',
      });
    }
  });

  const changes: readonly [
    what: string,
    change: (signed: SignedJointRecord) => unknown,
    text: string | RegExp,
  ][] = [
    [
      'a value of a pass is changed',
      signed => JSON.parse(JSON.stringify(signed).replace('"meanCurrentA":236', '"meanCurrentA":230')),
      'The joint record is not what was signed: something in it was changed.',
    ],
    [
      'a disposition is changed',
      signed => JSON.parse(JSON.stringify(signed).replace('"decision":"repair"', '"decision":"accept"')),
      'The joint record is not what was signed: something in it was changed.',
    ],
    [
      'a pass is left out',
      ({ record, ...rest }) => ({ ...rest, record: { ...record, passes: record.passes.slice(1) } }),
      'The joint record is not what was signed: something in it was changed.',
    ],
    [
      'the signature is another',
      signed => ({ ...signed, signature: signed.record.entries[0]!.signature }),
      'The joint record carries a signature that its key did not make.',
    ],
    ['it is none at all', () => ({ schema: 'something' }), /^The joint record cannot be read at record: /],
  ];
  it.each(changes)('in which %s is named', async (_what, change, text) => {
    const { exported } = await day();
    expect(found(change(await exported()))?.text).toEqual(expect.stringMatching(text));
  });

  it('of another dashboard is named where the key is known', async () => {
    const { exported } = await day();
    expect(found(await exported(), ['ab'.repeat(32)])).toMatchObject({ part: 'key' });
  });

  it('put together from true parts of others is named, though this dashboard would sign it', async () => {
    const { exported, store } = await day();
    const signed = await exported();
    const sign = (record: SignedJointRecord['record']): SignedJointRecord => {
      const text = canonicalJson(record);
      const hash = createHash('sha256').update(text).digest('hex');
      return { record, hash, key: store.key.fingerprint, signature: store.key.sign(text) };
    };
    const [first, second] = signed.record.passes;
    const exchanged = { ...signed.record, passes: [{ ...first!, seal: second!.seal }, second!] };
    expect(found(sign(exchanged))?.text).toBe(
      `The seal of pass ${STREAM}:1 is that of another pass, or the pass was changed.`,
    );
    expect(found(sign({ ...signed.record, joint: 'J-0002' }))?.text).toMatch(
      /^Journal entry 2 is about something else\.$/,
    );
    const other = edgeKey();
    const stream = new SealedStream(other);
    stream.add({ passes: [testPass(1)] });
    const foreign = {
      ...first!,
      pass: testPass(1),
      seal: stream.seal(1, { kind: 'pass', pass: testPass(1) }),
    };
    expect(found(sign({ ...signed.record, passes: [foreign] }))).toMatchObject({
      part: 'key',
      passId: `${STREAM}:1`,
    });
  });
});

describe('the check of a joint where it is kept', () => {
  it('goes through its batches, seals and entries', async () => {
    const { get } = await day();
    const report = await answer(ROUTES.jointVerification, await get('/api/v1/joints/J-0001/verification'));
    expect(report).toMatchObject({
      fits: true,
      scope: 'joint',
      joint: 'J-0001',
      checked: { streams: 1, records: 8, passes: 2, seals: 2, entries: 1 },
    });
  });

  it('finds a pass that was sealed for it and is shown nowhere, where every seal is looked at', async () => {
    const { store } = await day();
    const { db } = (store as unknown as { opened: { db: { exec: (sql: string) => void } } }).opened;
    db.exec(`DELETE FROM deviations; DELETE FROM passes WHERE pass_id = '${STREAM}:2'`);
    const steps = verifyJoint(store.verification, 'J-0001', new Set(store.trustedKeys()), 'everySeal');
    expect((await inSteps(steps))?.problems.map(({ text }) => text)).toEqual([
      `Pass ${STREAM}:2 is sealed, and is not shown.`,
      `Record 5 of spread-1/rig-a (stream 01234567): the deviations of pass ${STREAM}:1 are not shown as they are recorded.`,
    ]);
  });

  it('names what does not fit', async () => {
    const { get, store } = await day();
    const { db } = (store as unknown as { opened: { db: { exec: (sql: string) => void } } }).opened;
    const text = async (): Promise<string | undefined> =>
      (await answer(ROUTES.jointVerification, await get('/api/v1/joints/J-0001/verification'))).problems[0]
        ?.text;
    db.exec('UPDATE records SET body = replace(body, \'"n":20\', \'"n":21\') WHERE seq = 8');
    expect(await text()).toMatch(/^Record 8 of .* does not carry the hash of its content/);
    db.exec('DELETE FROM records WHERE seq = 8');
    expect(await text()).toMatch(/^Record 8 of .* is missing: 9 is here\.$/);
    db.exec('DELETE FROM records WHERE seq > 3 AND seq < 6; DROP TRIGGER journal_keeps');
    db.exec(`UPDATE journal SET body = replace(body, 'repair', 'accept') WHERE kind = 'disposition'`);
    const { problems } = await answer(
      ROUTES.jointVerification,
      await get('/api/v1/joints/J-0001/verification'),
    );
    expect(problems.map(({ part }) => part)).toEqual(['record', 'record', 'journal']);
  });
});

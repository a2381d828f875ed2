/** One shift over HTTP, from records as edges send them. Invented; figures computed by hand beside each check. */
import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import type { Origin } from '#core/messages/common';
import type { PassMessage } from '#core/messages/pass';
import { SHIFT_ROUTES } from '../../dashboard/server/shift/shift-routes.ts';
import { answer, problem } from '../support/http-answers.ts';
import { journal, moved, RIG } from '../support/http-journal.ts';
import { OTHER_STREAM, START_MS, STREAM, seal, sha256, testBody, testPass } from '../support/test-records.ts';

const utc = (minutes: number): string => new Date(START_MS + minutes * 60_000).toISOString();
const streamOf = (rig: string): string => (rig === 'rig-a' ? STREAM : sha256(rig).slice(0, 32));

interface Welded {
  readonly id: string;
  readonly rig?: string;
  readonly joint?: string | null;
  readonly side?: 'A' | 'B';
  readonly pass?: string;
  /** Minutes after 08:00. */
  readonly from: number;
  readonly to: number;
  readonly values?: Partial<PassMessage['pass']>;
  readonly parts?: Partial<PassMessage>;
}

function pass({
  id,
  rig = 'rig-b',
  joint = 'J-0001',
  side = 'A',
  pass: name = 'fill 1',
  from,
  to,
  ...rest
}: Welded) {
  const made = testPass(Number(id), {
    rig,
    stream: streamOf(rig),
    passId: `${streamOf(rig)}:${id}`,
    joint,
    side,
    startUtc: utc(from),
    endUtc: utc(to),
    ...rest.parts,
  });
  const values = { procedurePass: name, arcTimeS: (to - from) * 60, ...rest.values };
  return { ...made, pass: { ...made.pass, ...values } };
}

/** The filled dashboard with more records; one record a pass, of one rig and origin. */
async function shiftOf(passes: readonly PassMessage[], origin: Origin = 'simulated') {
  const server = await journal();
  const chains = new Map<string, { seq: number; prev: string | undefined }>();
  for (const message of passes) {
    const { rig, stream } = message;
    const at = chains.get(stream) ?? { seq: rig === 'rig-a' ? 40 : 1, prev: undefined };
    const body = JSON.stringify(testBody({ rig, origin, passes: [{ ...message, origin }] }));
    const record = seal(body, at.seq, at.prev, stream, origin);
    chains.set(stream, { seq: at.seq + 1, prev: record.hash });
    server.receive(`girthlog/1/spread-1/${rig}/record`, record);
  }
  await server.settle();
  const read = async (query = 'date=2026-05-12') =>
    await answer(SHIFT_ROUTES.shift, await server.get(`/api/v1/shift?${query}`));
  const rigOf = async (rig: string, query?: string) => (await read(query)).rigs.find(one => one.rig === rig);
  return { ...server, read, rigOf };
}

describe('a shift', () => {
  it('gives arc time, operating factor, wire and gas of each rig and of all', async () => {
    const { read, rigOf } = await shiftOf([
      // 10 and 5 min of arc within 60 min: 25 %.
      pass({ id: '1', from: 60, to: 70, values: { wireUsedM: 100, wireUsedKg: 0.5, gasUsedL: 150 } }),
      pass({ id: '2', from: 115, to: 120, side: 'B', values: { wireUsedM: 50, wireUsedKg: 0.25 } }),
    ]);
    expect(await rigOf('rig-b')).toMatchObject({
      passes: 2,
      arcTimeS: 900,
      firstArcUtc: '2026-05-12T09:00:00.000Z',
      lastArcUtc: '2026-05-12T10:00:00.000Z',
      elapsedS: 3600,
      operatingFactor: 0.25,
      wireM: { value: 150, known: 2, of: 2, reason: null },
      wireKg: { value: 0.75 },
      gasL: { value: 150, known: 1, of: 2, reason: 'no gas flow is measured' },
    });
    // Rig a: the one pass of 50 s with its deviation that every test dashboard has.
    const shift = await read();
    expect(shift.total).toMatchObject({ passes: 3, arcTimeS: 950, deviations: 1, deviationsOpen: 1 });
    expect(shift).toMatchObject({ zone: 'UTC', running: false, origin: 'simulated', origins: ['simulated'] });
  });

  it('holds what began from 06:00 to 06:00, joints as they stood at its end', async () => {
    const { read } = await shiftOf([
      pass({ id: '1', from: 60, to: 70, pass: 'root', side: 'A' }),
      pass({ id: '2', from: 60, to: 70, pass: 'root', side: 'B' }),
      // 05:59 of the next day, and 06:00: the first still belongs to this shift.
      pass({ id: '3', from: 1319, to: 1325, pass: 'fill 1', side: 'A', joint: 'J-0002' }),
      pass({ id: '4', from: 1320, to: 1325, pass: 'fill 1', side: 'B' }),
    ]);
    const [first, second] = [await read(), await read('date=2026-05-13')];
    expect(first.joints.map(({ joint, complete, text }) => [joint, complete, text])).toEqual([
      ['J-0001', false, 'fill 1 B'],
      ['J-0002', false, 'root A and B; fill 1 B'],
    ]);
    expect(second.joints.map(({ joint, complete, passes }) => [joint, complete, passes])).toEqual([
      ['J-0001', true, 1],
    ]);
  });

  it('counts a pass for the joint it was moved to', async () => {
    const { enter, read } = await shiftOf([]);
    await enter(moved({ pass: 'fill 1' }), { reason: 'wrong joint' });
    expect((await read()).joints.map(({ joint, text }) => [joint, text])).toEqual([
      ['J-0002', 'root A and B; fill 1 A'],
    ]);
  });

  it('never mixes origins: real work is shown first, the other when asked for', async () => {
    const { read, receive, settle } = await shiftOf([]);
    const real = pass({
      id: '1',
      rig: 'rig-r',
      from: 60,
      to: 61,
      parts: { origin: 'real', stream: OTHER_STREAM },
    });
    const body = JSON.stringify(
      testBody({ rig: 'rig-r', origin: 'real', passes: [{ ...real, passId: `${OTHER_STREAM}:1` }] }),
    );
    receive('girthlog/1/spread-1/rig-r/record', seal(body, 1, undefined, OTHER_STREAM, 'real'));
    await settle();
    const shown = await read();
    expect(shown).toMatchObject({
      origin: 'real',
      origins: ['real', 'simulated'],
      total: { passes: 1, arcTimeS: 60 },
    });
    expect(shown.rigs.map(({ rig }) => rig)).toEqual(['rig-r']);
    const simulated = await read('date=2026-05-12&origin=simulated');
    expect(simulated.total).toMatchObject({ passes: 1, arcTimeS: 50 });
    expect(simulated.rigs.map(({ rig }) => rig)).toEqual(['rig-a']);
  });

  it('says what is left on a spool, and what stopped', async () => {
    const { rigOf, enter, read } = await shiftOf([
      pass({ id: '1', from: 60, to: 70, values: { wireUsedM: 100, wireUsedKg: 0.5 } }),
    ]);
    const at = { site: RIG.site, rig: 'rig-b' };
    expect((await rigOf('rig-b'))?.spool).toMatchObject({
      leftKg: null,
      reason: 'no change of spool is entered',
    });
    await enter({
      kind: 'rigEvent',
      ...at,
      event: 'spoolChange',
      happenedAt: utc(30),
      lot: 'W-1',
      wireKg: 15,
    });
    await enter({ kind: 'rigEvent', ...at, event: 'stop', happenedAt: utc(80) }, { reason: 'rain' });
    expect((await rigOf('rig-b'))?.spool).toMatchObject({ leftKg: 14.5, putOnKg: 15, lot: 'W-1' });
    expect((await read()).events.map(({ event, words }) => [event, words])).toEqual([
      ['spoolChange', null],
      ['stop', 'rain'],
    ]);
  });

  it('without a date is the one that runs; of a site nobody knows it is empty; a date that is none is refused', async () => {
    const { read, get } = await shiftOf([]);
    expect((await read('')).running).toBe(true);
    const empty = await read('date=2026-05-12&site=elsewhere');
    expect(empty).toMatchObject({ site: 'elsewhere', sites: ['spread-1'], rigs: [], joints: [] });
    expect(empty.total.arcTimeS).toBeNull();
    const refused = await problem(await get('/api/v1/shift?date=2026-02-30'));
    expect(refused).toMatchObject({ status: 400, code: 'queryInvalid' });
  });

  it('as CSV: one row a rig or a joint, empty where nothing is known', async () => {
    const { get } = await shiftOf([pass({ id: '1', from: 60, to: 70, values: { wireUsedM: 100 } })]);
    const table = async (query: string) => {
      const response = await get(`/api/v1/shift.csv?date=2026-05-12${query}`);
      expect(response.headers.get('content-type')).toMatch(/^text\/csv/);
      expect(response.headers.get('content-disposition')).toMatch(
        /filename="shift-2026-05-12-(rigs|joints)\.csv"/,
      );
      const text = await response.text();
      expect(text.endsWith('\r\n')).toBe(true);
      return parse(text, { columns: true }) as Record<string, string>[];
    };
    const rigs = await table('');
    expect(rigs.map(({ rig }) => rig)).toEqual(['rig-a', 'rig-b']);
    expect(rigs[1]).toMatchObject({
      shift_date: '2026-05-12',
      zone: 'UTC',
      origin: 'simulated',
      arc_time_s: '600',
      operating_factor: '1',
      wire_m: '100',
      wire_kg: '',
      wire_kg_known_passes: '0',
      wire_kg_reason: 'no wire feed is measured',
      spool_left_kg: '',
      first_arc_local: '2026-05-12T09:00:00.000+00:00',
    });
    const joints = await table('&table=joints');
    expect(joints).toMatchObject([{ joint: 'J-0001', complete: 'false', missing: 'root A and B; fill 1 B' }]);
  });
});

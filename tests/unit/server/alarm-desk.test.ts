import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { takeTruckAlarms } from '../../../dashboard/server/alarms/truck-alarms.ts';
import { condition, deskBench, NO_DATA } from '../../support/alarm-desk.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { openDatabase } from '../../support/test-store.ts';

const fresh = () => deskBench(join(tempDir(), 'data'));
const POINT = { site: 'spread-1', rig: 'rig-a', cause: 'outOfRange' } as const;

describe('the alarm desk', () => {
  it('makes one alarm of a side, a pass and a cause, however often the edge says it', () => {
    const bench = fresh();
    bench.edge([condition()]);
    bench.edge([condition()]);
    expect(bench.only()).toMatchObject({
      lifecycle: 'unacked',
      availability: 'inService',
      count: 1,
      announcement: { number: expect.any(Number) },
      work: { joint: 'J-1', side: 'A', pass: 'fill 1' },
      place: { clock: 9 },
      acknowledged: null,
    });
    expect(bench.said()).toEqual(['raised', 'announced']);
    expect(bench.pictures).toHaveLength(2);
  });

  it('a second quantity joins: counted, to be acknowledged again, not announced again', () => {
    const bench = fresh();
    bench.edge([condition()]);
    bench.desk.answer('acknowledge', [bench.only().alarm], 'p-1', null);
    bench.edge([condition({ quantities: ['travelSpeed', 'arcVoltage'] })]);
    expect(bench.only()).toMatchObject({
      lifecycle: 'unacked',
      count: 2,
      quantities: ['travelSpeed', 'arcVoltage'],
    });
    expect(bench.said()).toEqual(['raised', 'announced', 'acknowledged by p-1', 'raisedAgain']);
  });

  it('the same pass of the next joint is another alarm, and so is another side', () => {
    const bench = fresh();
    bench.edge([condition()]);
    bench.edge([condition({ work: { joint: 'J-2', side: 'A', pass: 'fill 1' } })]);
    expect(bench.alarms().map(({ work, lifecycle }) => `${work?.joint} ${lifecycle}`)).toEqual([
      'J-2 unacked',
      'J-1 rtnUnacked',
    ]);
    // Without a joint the edge's number of the pass tells them apart.
    bench.edge([condition({ work: null, passIndex: 8 })]);
    bench.edge([condition({ work: null, passIndex: 9 })]);
    expect(bench.alarms()).toHaveLength(4);
  });

  it('an older edge that names no work is told apart by its keys', () => {
    const bench = fresh();
    const { work: _, passIndex: __, place: ___, quantities: ____, sinceUtc: _____, ...old } = condition();
    bench.edge([old, { ...old, key: 'A:fill 1:arcVoltage', quantity: 'arcVoltage' }]);
    expect(bench.alarms().map(({ quantities }) => quantities)).toEqual([['arcVoltage'], ['travelSpeed']]);
  });

  it('HIGH stands first, then what waits for somebody', () => {
    const bench = fresh();
    bench.edge([condition(), NO_DATA, condition({ key: 'buffering', cause: 'buffering', priority: 'low' })]);
    bench.desk.answer('acknowledge', [bench.alarms()[0]!.alarm], 'p-1', null);
    expect(bench.alarms().map(({ priority, lifecycle }) => `${priority} ${lifecycle}`)).toEqual([
      'high acked',
      'medium unacked',
      'low unacked',
    ]);
  });

  it('an answer to what is over says so, and changes nothing', () => {
    const bench = fresh();
    bench.edge([condition()]);
    const { alarm } = bench.only();
    bench.edge([]);
    bench.desk.answer('acknowledge', [alarm], 'p-1', null);
    expect(() => bench.desk.answer('acknowledge', [alarm], 'p-2', null)).toThrow('alarmGone');
    expect(() => bench.desk.answer('reset', [999], 'p-2', null)).toThrow('alarmGone');
    expect(bench.said().filter(what => what.includes('p-2'))).toEqual([]);
    // Two devices at once: the first one counts, the second hears no error.
    bench.edge([condition()]);
    bench.desk.answer('acknowledge', [alarm], 'p-1', null);
    bench.desk.answer('acknowledge', [alarm], 'p-2', null);
    expect(bench.only().acknowledged?.by).toBe('p-1');
  });

  it('shelves a cause of a rig over passes, with who, why and until when, and announces what is true at its end', () => {
    const bench = fresh();
    bench.edge([condition()]);
    bench.desk.shelve(POINT, 'p-1', 'wire being changed', 10);
    expect(bench.only()).toMatchObject({ availability: 'shelved' });
    bench.edge([condition({ work: { joint: 'J-1', side: 'A', pass: 'fill 2' } })]);
    expect(bench.alarms().every(({ availability }) => availability === 'shelved')).toBe(true);
    expect(bench.desk.picture().away).toMatchObject([
      { ...POINT, shelf: { by: 'p-1', reason: 'wire being changed' }, outOfService: null },
    ]);
    bench.ms += 599_000;
    bench.desk.tick();
    expect(bench.said().filter(what => what === 'announced')).toHaveLength(1);
    bench.ms += 1000;
    bench.desk.tick();
    expect(bench.said().slice(-2)).toEqual(['shelfEnded', 'announced']);
    expect(bench.desk.picture().away).toEqual([]);
    expect(bench.said().filter(what => what.startsWith('shelved'))).toEqual(['shelved by p-1']);
  });

  it('out of service has no end of its own; back in service what is true is announced', () => {
    const bench = fresh();
    bench.desk.removeFromService(POINT, 'p-2', 'travel sensor sent away');
    bench.edge([condition()]);
    bench.ms += 48 * 3_600_000;
    bench.desk.tick();
    expect(bench.only().availability).toBe('outOfService');
    expect(bench.said()).not.toContain('announced');
    expect(() => bench.desk.unshelve(POINT, 'p-2', null)).toThrow('notShelved');
    bench.desk.returnToService(POINT, 'p-2', 'sensor is back');
    expect(bench.said().slice(-2)).toEqual(['returnedToService by p-2', 'announced']);
  });

  it('conditions of the weld say nothing while there is no arc; lost data does', () => {
    const bench = fresh();
    bench.desk.suppress('spread-1', 'rig-a', 'arcOff');
    bench.edge([condition(), NO_DATA]);
    expect(bench.alarms().map(({ availability }) => availability)).toEqual([
      'inService',
      'suppressedByDesign',
    ]);
    bench.desk.suppress('spread-1', 'rig-a', null);
    expect(bench.alarms().every(({ availability }) => availability === 'inService')).toBe(true);
    expect(bench.said().filter(what => what === 'announced')).toHaveLength(2);
  });

  it('more than six in a minute are one line, and every one of them counts', () => {
    const bench = fresh();
    for (let i = 1; i <= 16; i++) {
      bench.ms += 100;
      bench.edge([NO_DATA], { site: 'spread-1', rig: `rig-${i}` });
    }
    const picture = bench.desk.picture();
    expect(picture.folds).toMatchObject([{ announcements: 16 }]);
    expect(picture.alarms.every(({ fold }) => fold === 0)).toBe(true);
    expect(picture.budget).toEqual({
      last10Min: 16,
      lastHour: 16,
      state: 'flood',
      perHour: 6,
      ceilingPerHour: 12,
      floodAbovePer10Min: 10,
    });
    bench.ms += 3_600_000;
    expect(bench.desk.picture()).toMatchObject({ folds: [], budget: { lastHour: 0, state: 'within' } });
  });

  it('takes conditions of the truck itself, all there are each time', () => {
    const bench = fresh();
    const since = new Date(bench.ms).toISOString();
    const old = { cause: 'backupOld', priority: 'low', since, text: 'Old.', action: 'Back up.' } as const;
    takeTruckAlarms(bench.desk, [old, { ...old, cause: 'diskSpace', priority: 'medium' }]);
    expect(bench.alarms().map(({ cause, rig }) => `${cause} ${rig}`)).toEqual([
      'diskSpace null',
      'backupOld null',
    ]);
    takeTruckAlarms(bench.desk, [old]);
    expect(bench.alarms().map(({ lifecycle }) => lifecycle)).toEqual(['rtnUnacked', 'unacked']);
  });
});

describe('after a restart of the dashboard', () => {
  it('everything is as it was, and what the edges say again is not announced again', () => {
    const directory = join(tempDir(), 'data');
    const before = deskBench(directory);
    before.edge([condition(), NO_DATA]);
    before.desk.answer('acknowledge', [before.alarms()[0]!.alarm], 'p-1', null);
    before.desk.shelve(POINT, 'p-1', 'wire being changed', 60);
    const { serverUtc: _, ...picture } = before.desk.picture();
    const said = before.said();
    before.store.close();
    const after = deskBench(directory, before.ms);
    expect(after.desk.picture()).toMatchObject(picture);
    after.edge([condition(), NO_DATA]);
    expect(after.desk.picture()).toMatchObject(picture);
    expect(after.said()).toEqual(said);
  });

  it('what was suppressed by design is told once the arc burns again', () => {
    const directory = join(tempDir(), 'data');
    const before = deskBench(directory);
    before.desk.suppress('spread-1', 'rig-a', 'arcOff');
    before.edge([condition()]);
    before.store.close();
    const after = deskBench(directory, before.ms);
    expect(after.only().availability).toBe('suppressedByDesign');
    after.desk.suppress('spread-1', 'rig-a', null);
    expect(after.only().availability).toBe('inService');
  });

  it('a shelf that ended meanwhile announces what is still true, once', () => {
    const directory = join(tempDir(), 'data');
    const before = deskBench(directory);
    before.edge([condition()]);
    before.desk.shelve(POINT, 'p-1', 'wire being changed', 10);
    before.store.close();
    const after = deskBench(directory, before.ms + 3_600_000);
    expect(after.only()).toMatchObject({ lifecycle: 'unacked', availability: 'inService' });
    expect(after.said().slice(-2)).toEqual(['shelfEnded', 'announced']);
  });
});

describe('what is kept of alarms', () => {
  it('forgets a normal alarm after a day, never what was logged', () => {
    const bench = fresh();
    bench.edge([condition()]);
    bench.edge([]);
    bench.desk.answer('acknowledge', [bench.only().alarm], 'p-1', null);
    bench.ms += 23 * 3_600_000;
    bench.desk.tick();
    expect(bench.store.alarms.alarms()).toHaveLength(1);
    bench.ms += 2 * 3_600_000;
    bench.desk.tick();
    expect(bench.store.alarms.alarms()).toHaveLength(0);
    expect(bench.said()).toHaveLength(4);
  });

  it('the file refuses to change or drop a line of the log', () => {
    const directory = join(tempDir(), 'data');
    const bench = deskBench(directory);
    bench.edge([condition()]);
    const db = openDatabase(directory);
    expect(() => db.exec(`UPDATE alarm_log SET "by" = 'x'`)).toThrow('append-only');
    expect(() => db.exec('DELETE FROM alarm_log')).toThrow('append-only');
  });

  it('a store that fails silences no alarm', () => {
    const bench = fresh();
    bench.edge([condition()]);
    bench.store.close();
    bench.edge([condition(), NO_DATA]);
    expect(bench.alarms()).toHaveLength(2);
    expect(bench.pictures.at(-1)?.alarms[0]).toMatchObject({ priority: 'high', announcement: { number: 3 } });
    expect(bench.counts['alarmNotStored']).toBeGreaterThan(0);
  });
});

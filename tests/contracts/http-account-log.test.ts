/** The log of accounts: only grows, is chained, and what cannot be written there is not done (NIST SP 800-53 AU-5, AU-9, from memory). */
import { createHash } from 'node:crypto';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import type { AuditPage } from '#core/messages/api-account';
import { PASSPHRASE, startAccountBench } from '../support/accounts.ts';

describe('the log of accounts', () => {
  it('says who, whose, what and from where, each line with the SHA-256 of the one before over its canonical JSON', async () => {
    const bench = await startAccountBench();
    const keeper = await bench.setUp();
    const { person } = await bench.enter('setter', ['weldSetter']);
    await bench.ask('POST', '/api/v1/session', { name: 'setter', passphrase: 'not this one' });
    const answer = await bench.ask('GET', '/api/v1/audit?limit=100', undefined, keeper.headers);
    const { entries, brokenAt } = (await answer.json()) as AuditPage;
    expect(brokenAt).toBeNull();
    const oldest = [...entries].reverse();
    expect(oldest.map(({ what }) => what)).toEqual([
      'setUpCodeMade',
      'setUp',
      'signedIn',
      'accountOpened',
      'codeGiven',
      'passphraseSet',
      'signedIn',
      'signInFailed',
    ]);
    expect(oldest[0]).toMatchObject({ number: 1, by: 'console', person: null, address: null });
    expect(oldest[3]).toMatchObject({
      by: keeper.person.id,
      person: person.id,
      detail: 'setter: weldSetter',
    });
    expect(oldest[7]).toMatchObject({
      by: null,
      person: person.id,
      address: expect.stringContaining('127.0.0.1'),
    });
    // RFC 8785 of an object of texts, whole numbers and nulls: its keys in order, nothing between.
    let prev = '0'.repeat(64);
    for (const { hash, ...entry } of oldest) {
      expect(entry.prev).toBe(prev);
      const canonical = JSON.stringify(
        Object.fromEntries(Object.entries(entry).sort(([a], [b]) => (a < b ? -1 : 1))),
      );
      expect(createHash('sha256').update(canonical).digest('hex')).toBe(hash);
      prev = hash;
    }
    expect(JSON.stringify(oldest)).not.toContain(PASSPHRASE);
  });

  it('is refused by the file itself to be changed or dropped, and shows where somebody did it all the same', async () => {
    const bench = await startAccountBench();
    const keeper = await bench.setUp();
    const db = new Sqlite(join(bench.data, 'dashboard.sqlite3'));
    expect(() => db.prepare("UPDATE audit SET by = 'nobody'").run()).toThrow('append-only');
    expect(() => db.prepare('DELETE FROM audit').run()).toThrow('append-only');
    db.exec("DROP TRIGGER audit_keep; UPDATE audit SET detail = 'link' WHERE number = 3");
    db.close();
    const answer = await bench.ask('GET', '/api/v1/audit', undefined, keeper.headers);
    expect(((await answer.json()) as AuditPage).brokenAt).toBe(3);
    const report = await bench.ask('GET', '/api/v1/verification', undefined, keeper.headers);
    expect(await report.json()).toMatchObject({
      fits: false,
      problems: [{ part: 'accounts', text: 'Line 3 of the log of accounts is not as it was written.' }],
    });
  });

  it('cannot be written: nobody is let in and no joint is ruled about, and both are entered once it can', async () => {
    const bench = await startAccountBench();
    const { headers } = await bench.enter('inspector', ['inspector', 'weldSetter']);
    const opened = {
      shiftDate: '2026-05-12',
      reason: null,
      corrects: null,
      body: { kind: 'jointOpened', joint: 'J-9' },
    };
    expect((await bench.ask('POST', '/api/v1/entries', opened, headers)).status).toBe(201);
    const db = new Sqlite(join(bench.data, 'dashboard.sqlite3'));
    db.exec("CREATE TRIGGER full BEFORE INSERT ON audit BEGIN SELECT RAISE(ABORT, 'no room'); END");
    const ruling = {
      passphrase: PASSPHRASE,
      shiftDate: '2026-05-12',
      decision: 'accept',
      reason: 'seen',
      corrects: null,
    };
    const rule = () => bench.ask('POST', '/api/v1/joints/J-9/dispositions', ruling, headers);
    const signIn = () => bench.ask('POST', '/api/v1/session', { name: 'inspector', passphrase: PASSPHRASE });
    expect((await rule()).status).toBeGreaterThanOrEqual(500);
    expect((await signIn()).status).toBeGreaterThanOrEqual(500);
    expect(bench.store.journal.about('joint J-9')).toHaveLength(1);
    // What was welded is looked at and entered on.
    expect((await bench.ask('GET', '/api/v1/rigs', undefined, headers)).status).toBe(200);
    db.exec('DROP TRIGGER full');
    db.close();
    expect((await rule()).status).toBe(201);
    expect((await signIn()).status).toBe(201);
    expect(bench.store.audit.page({ limit: 3 }).items.map(({ what }) => what)).toEqual([
      'signedIn',
      'signed',
      'signedIn',
    ]);
  });
});

/** What is done to an edge's store behind its back, and the sentence that names the first batch that does not fit. */
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { recordHashInput, reducedHashInput } from '#core/record/chain';
import { openDatabase, type SqliteDatabase } from '../../edge/outbox/outbox-database.ts';
import { prepareStatements } from '../../edge/outbox/statements.ts';
import { type OutboxReport, verifyOutbox } from '../../edge/outbox/verify-outbox.ts';
import { sealedDay } from '../support/sealed-store.ts';
import { tempDir } from '../support/temp-dir.ts';
import { START_MS, STREAM, sha256 } from '../support/test-records.ts';

/** The day of sealed-store in an edge's file. */
function outbox(): { db: SqliteDatabase; verify: () => OutboxReport } {
  const { db } = openDatabase(join(tempDir(), 'edge.db'), () => STREAM);
  onTestFinished(() => void db.close());
  const statements = prepareStatements(db);
  for (const { seq, prev, hash, body } of sealedDay()) {
    statements.insert.run(seq, STREAM, prev, hash, body, START_MS * 1000, START_MS);
  }
  return { db, verify: () => verifyOutbox(statements) };
}

function chainAnew(db: SqliteDatabase, fromSeq: number): void {
  let prev = db
    .prepare('SELECT hash FROM batch WHERE seq = ?')
    .pluck()
    .get(fromSeq - 1) as string;
  const rows = db.prepare('SELECT seq, body FROM batch WHERE seq >= ? ORDER BY seq').all(fromSeq);
  for (const { seq, body } of rows as { seq: number; body: string }[]) {
    const hash = sha256(recordHashInput({ prev, stream: STREAM, seq, body }));
    db.prepare('UPDATE batch SET prev = ?, hash = ? WHERE seq = ?').run(prev, hash, seq);
    prev = hash;
  }
}

describe('an edge’s store', () => {
  it('that nobody has touched fits, also where samples gave way', () => {
    const { db, verify } = outbox();
    expect(verify()).toMatchObject({ fits: true, problem: null, batches: 12, seals: 5, reduced: 0 });
    const { hash } = db.prepare('SELECT hash FROM batch WHERE seq = 4').get() as { hash: string };
    db.prepare("UPDATE batch SET body = '', reduced_to = 'pruned', body_hash = ? WHERE seq = 4").run(
      sha256(reducedHashInput({ hash, body: '' })),
    );
    expect(verify()).toMatchObject({ fits: true, reduced: 1 });
  });

  const tampers: readonly [what: string, tamper: (db: SqliteDatabase) => void, problem: string][] = [
    [
      'a batch is changed',
      db => db.exec(`UPDATE batch SET body = replace(body, '"n":20', '"n":21') WHERE seq = 4`),
      'The chain breaks: batch 4 does not match its hash.',
    ],
    [
      'a batch is deleted',
      db => db.exec('DELETE FROM batch WHERE seq = 7'),
      'The chain breaks: batch 7 is missing.',
    ],
    [
      'a batch is changed and every hash is made anew',
      db => {
        db.exec(`UPDATE batch SET body = replace(body, '"n":20', '"n":21') WHERE seq = 4`);
        chainAnew(db, 4);
      },
      'Seal 2, in batch 6: the root of batches 3 to 5 is another one.',
    ],
    [
      'a seal is changed and every hash is made anew',
      db => {
        db.exec(`UPDATE batch SET body = replace(body, '"gapsLeftOut":0', '"gapsLeftOut":1') WHERE seq = 6`);
        chainAnew(db, 6);
      },
      'A seal in batch 6: the signature does not fit the document.',
    ],
    [
      'a seal is left out and every hash is made anew',
      db => {
        const body = db.prepare('SELECT body FROM batch WHERE seq = 10').pluck().get() as string;
        const { seals: _left, ...rest } = JSON.parse(body) as { seals: unknown };
        db.prepare('UPDATE batch SET body = ? WHERE seq = 10').run(JSON.stringify(rest));
        chainAnew(db, 10);
      },
      'Seal 5, in batch 12: seal 5 stands where seal 4 should.',
    ],
  ];
  it.each(tampers)('where %s is named', (_what, tamper, problem) => {
    const { db, verify } = outbox();
    tamper(db);
    expect(verify()).toMatchObject({ fits: false, problem });
  });
});

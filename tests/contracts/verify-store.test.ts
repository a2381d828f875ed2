/** A store nobody has touched fits; one with more than one thing wrong names the first of each part. */
import { describe, expect, it } from 'vitest';
import { reducedHashInput } from '#core/record/chain';
import { sealedStore } from '../support/sealed-store.ts';
import { sha256 } from '../support/test-records.ts';

const OF_RIG = 'of spread-1/rig-a (stream 01234567)';

describe('a store nobody has touched', () => {
  it('fits, and says what was checked', async () => {
    const report = (await sealedStore()).verify();
    expect(report).toMatchObject({
      fits: true,
      problems: [],
      checked: { streams: 1, records: 12, passes: 2, seals: 5, entries: 3 },
      notes: [`spread-1/rig-a (stream 01234567): records after 11 are not sealed yet.`],
    });
    expect(report.keys.map(({ of }) => of)).toEqual(['spread-1/rig-a', 'dashboard']);
  });

  it('fits too where samples gave way: pruned, root intact', async () => {
    const store = await sealedStore();
    store.withFile(db => {
      const { body, hash } = db.prepare('SELECT body, hash FROM records WHERE seq = 4').get() as {
        body: string;
        hash: string;
      };
      const { samples, ...rest } = JSON.parse(body) as { samples: { n: number; lastUs: number } };
      const left = JSON.stringify({
        ...rest,
        samples: null,
        reduced: { n: samples.n, lastUs: samples.lastUs, extremes: {} },
      });
      db.prepare("UPDATE records SET body = ?, reduced_to = 'pruned', body_hash = ? WHERE seq = 4").run(
        left,
        sha256(reducedHashInput({ hash, body: left })),
      );
      db.prepare('DELETE FROM chunks WHERE seq = 4').run();
    });
    const report = store.verify();
    expect(report).toMatchObject({ fits: true });
    expect(report.notes).toContain('spread-1/rig-a (stream 01234567): 1 record pruned, root intact.');
    store.tamper(
      'UPDATE records SET body = replace(body, \'"passIndex":1\', \'"passIndex":2\') WHERE seq = 4',
    );
    expect(store.verify().problems[0]).toMatchObject({
      seq: 4,
      text: `Record 4 ${OF_RIG} is pruned, and what is left of it was changed.`,
    });
  });
});

it('a store with two things wrong names both, the stream first', async () => {
  const store = await sealedStore();
  store.tamper('DELETE FROM journal WHERE number = 3');
  store.tamper('DELETE FROM records WHERE seq = 7');
  expect(store.verify().problems.map(({ part }) => part)).toEqual(['record', 'journal']);
});

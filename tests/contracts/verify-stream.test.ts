/** What is done to the records of a store's file behind its back, and the sentence that names the first that does not fit. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { RECORD_TAMPERS } from '../support/record-tampers.ts';
import { sealedStore } from '../support/sealed-store.ts';
import { STREAM } from '../support/test-records.ts';

describe('a stream', () => {
  it.each(RECORD_TAMPERS)('where %s is named', async (_what, tamper, seq, text) => {
    const store = await sealedStore();
    tamper(store);
    const report = store.verify();
    expect(report.fits).toBe(false);
    expect(report.problems).toHaveLength(1);
    expect(report.problems[0]).toMatchObject({ seq, site: 'spread-1', rig: 'rig-a', stream: STREAM });
    if (typeof text === 'string') expect(report.problems[0]?.text).toBe(text);
    else expect(report.problems[0]?.text).toMatch(text);
  });

  it('shows any bit that is turned in any record', async () => {
    const store = await sealedStore();
    const bodies = store.withFile(db => db.prepare('SELECT seq, body FROM records ORDER BY seq').all()) as {
      seq: number;
      body: string;
    }[];
    fc.assert(
      fc.property(fc.nat(11), fc.nat(), fc.nat(6), (record, place, bit) => {
        const { seq, body } = bodies[record]!;
        const bytes = Buffer.from(body, 'utf8');
        const at = place % bytes.length;
        bytes[at] = bytes[at]! ^ (1 << bit);
        store.tamper('UPDATE records SET body = ? WHERE seq = ?', bytes.toString('latin1'), seq);
        const [problem] = store.verify().problems;
        store.tamper('UPDATE records SET body = ? WHERE seq = ?', body, seq);
        return problem?.seq === seq && problem.part === 'record';
      }),
      { numRuns: 25 },
    );
    expect(store.verify().fits).toBe(true);
  });
});

/** How much of a shift is printed. The size of a row is our own (theme/shift.css); that it is one page, the browser test shows. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { printPlan } from '../../../dashboard/web/views/shift/print-cut.ts';

const joints = (n: number, words = ''): string[] =>
  Array.from({ length: n }, (_, i) => `J-${String(i + 1).padStart(4, '0')}${words}`);
const NOTHING = { notes: [], incomplete: [], unknown: [], complete: [], events: [] };

describe('what is printed of a shift', () => {
  it('is all of a day of 40 joints on 16 rigs, also where all of them are incomplete', () => {
    const texts = { ...NOTHING, incomplete: joints(40, ' lacks fill 2 B; cap A and B'), events: joints(6) };
    expect(printPlan(16, texts)).toMatchObject({ rigs: 16, incomplete: 40, events: 6 });
    expect(printPlan(16, { ...NOTHING, complete: joints(40), events: joints(12) })).toMatchObject({
      complete: 40,
      events: 12,
    });
  });

  it('of long lists is the beginning, and some of each', () => {
    const plan = printPlan(20, {
      notes: joints(30),
      incomplete: joints(170, ' lacks cap A and B'),
      unknown: joints(50),
      complete: joints(500),
      events: joints(100),
    });
    expect(plan.rigs).toBe(16);
    for (const printed of Object.values(plan)) expect(printed).toBeGreaterThan(0);
    expect(plan.incomplete).toBeLessThan(40);
  });

  it('takes fewer lines where lines are longer', () => {
    const long = joints(40, ` lacks ${'fill A and B; '.repeat(12)}`);
    expect(printPlan(16, { ...NOTHING, incomplete: long }).incomplete).toBeLessThan(20);
  });

  it('never is more than there is, and never less of a list alone on the page', () => {
    const list = fc.array(fc.string({ minLength: 1, maxLength: 300 }), { maxLength: 80 });
    const texts = fc.record({ notes: list, incomplete: list, unknown: list, complete: list, events: list });
    fc.assert(
      fc.property(fc.nat(40), texts, (rigs, all) => {
        const plan = printPlan(rigs, all);
        expect(plan.rigs).toBeLessThanOrEqual(rigs);
        for (const name of Object.keys(all) as (keyof typeof all)[]) {
          expect(plan[name]).toBeGreaterThanOrEqual(0);
          expect(plan[name]).toBeLessThanOrEqual(all[name].length);
        }
        const alone = printPlan(rigs, { ...NOTHING, incomplete: all.incomplete });
        expect(alone.incomplete).toBeGreaterThanOrEqual(plan.incomplete);
      }),
    );
  });
});

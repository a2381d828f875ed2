/** Labels beside the rings of a report: our own rule, held for any marks. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { labelColumn } from '../../../dashboard/server/report/label-column.ts';

describe('labels in a column', () => {
  it('keep the order of their marks and a distance, inside the drawing', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 0, max: 250, noNaN: true }), { minLength: 1, maxLength: 30 }),
        heights => {
          const marks = heights.toSorted((a, b) => a - b);
          const placed = labelColumn(marks, 6, 244, 8);
          // 30 labels 8 apart need 232 of 238.
          for (let i = 1; i < placed.length; i++)
            expect(placed[i]! - placed[i - 1]!).toBeGreaterThanOrEqual(8 - 1e-9);
          expect(placed[0]).toBeGreaterThanOrEqual(6 - 1e-9);
          expect(placed.at(-1)).toBeLessThanOrEqual(244 + 1e-9);
        },
      ),
    );
  });

  it('one with room of its own stands at its mark; too many share what there is', () => {
    expect(labelColumn([50, 120, 124], 0, 250, 8)).toEqual([50, 120, 128]);
    expect(labelColumn([10, 10, 10, 10, 10], 0, 20, 8)).toEqual([0, 5, 10, 15, 20]);
  });
});

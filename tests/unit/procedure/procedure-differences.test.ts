import { describe, expect, it } from 'vitest';
import { type Procedure, procedureSchema } from '#core/procedure/procedure';
import { procedureDifferences } from '#core/procedure/procedure-differences';
import example from '../../../simulator/demo/example-procedure.json' with { type: 'json' };

const BEFORE = procedureSchema.parse(example);
const changed = (change: (procedure: Procedure) => void): Procedure => {
  const after = { ...structuredClone(BEFORE), revision: 2 };
  change(after);
  return after;
};

describe('differences of two revisions', () => {
  it('are none where only the number differs', () => {
    expect(
      procedureDifferences(
        BEFORE,
        changed(() => {}),
      ),
    ).toEqual([]);
  });

  it('are none for the same limit in another unit: 6.4 m/min is 106.67 mm/s (1 min = 60 s, exact)', () => {
    const after = changed(p => {
      const limit = p.passes[0]!.limits.find(({ quantity }) => quantity === 'wireFeedSpeed')!;
      Object.assign(limit, {
        unit: 'mm/s',
        min: (limit.min! * 1000) / 60,
        nominal: (limit.nominal! * 1000) / 60,
        max: (limit.max! * 1000) / 60,
      });
    });
    expect(procedureDifferences(BEFORE, after)).toEqual([]);
  });

  it('name pass, limit and field, with both values', () => {
    const after = changed(p => {
      p.passes[1]!.limits[0]!.max = 280;
      p.passes[0]!.gas = 'M21';
      delete p.pipe;
    });
    expect(procedureDifferences(BEFORE, after)).toEqual([
      { pass: 'root', limit: null, field: 'gas', before: null, after: { value: 'M21', unit: null } },
      {
        pass: 'hot',
        limit: { quantity: 'weldingCurrent', basis: 'window', zone: null },
        field: 'max',
        before: { value: 275, unit: 'A' },
        after: { value: 280, unit: 'A' },
      },
      {
        pass: null,
        limit: null,
        field: 'pipe.outsideDiameterMm',
        before: { value: 610, unit: null },
        after: null,
      },
      {
        pass: null,
        limit: null,
        field: 'pipe.wallThicknessMm',
        before: { value: 15.9, unit: null },
        after: null,
      },
    ]);
  });

  it('see a pass moved, a limit given a zone, and a second limit of the same kind', () => {
    const moved = changed(p => p.passes.reverse());
    expect(procedureDifferences(BEFORE, moved).map(({ field }) => field)).toEqual(['passes']);
    const zoned = changed(p => {
      p.passes[0]!.limits[0]!.clockZone = { from: 4, to: 8 };
    });
    const kinds = procedureDifferences(BEFORE, zoned).map(({ before, after }) =>
      before === null ? 'added' : after === null ? 'removed' : 'changed',
    );
    expect(new Set(kinds)).toEqual(new Set(['added', 'removed']));
    const twice = changed(p => {
      p.passes[0]!.limits.push({ ...p.passes[0]!.limits[0]!, max: 190 });
    });
    const found = procedureDifferences(BEFORE, twice);
    expect(found.find(({ field }) => field === 'max')).toMatchObject({ before: null, after: { value: 190 } });
  });
});

/** Steps made by somebody's hand, told from what grows and from what wanders. Constructed series: the places and sizes are known. */
import { describe, expect, test } from 'vitest';
import { jumpOf } from '#core/drift/change-shape';
import { CHANNEL_COUNT } from '#core/drift/drift-values';
import { nanRow, type Step } from '#core/drift/recent-steps';
import { unseenTrims } from '#core/drift/unseen-trims';
import type { WindowRow } from '#core/drift/window-rows';

const TRAVEL = 3;
/** ± 0.03 in a fixed order, so that no run differs. */
const scatter = (i: number): number => 0.03 * Math.sin(12.9898 * i);

const stepsOf = (level: (mm: number) => number): Step[] =>
  Array.from({ length: 30 }, (_, i) => {
    const off = nanRow();
    off[TRAVEL] = level(5 * i) + scatter(i);
    const at = { fromMm: 5 * i, toMm: 5 * i + 5, fromUs: 1e6 * i, toUs: 1e6 * (i + 1) };
    return { ...at, values: off, off };
  });

const rowsOf = (values: readonly number[]): WindowRow[] =>
  values.map((value, i) => {
    const row = new Float64Array(CHANNEL_COUNT).fill(Number.NaN);
    row[TRAVEL] = value + scatter(i);
    const at = { fromMm: 25 * i, toMm: 25 * i + 25, fromUs: 0, toUs: 0 };
    return { zone: 0, ...at, values: row, follows: i > 0 };
  });

describe('a jump in the newest weld', () => {
  test('is seen on a level that had wandered off before', () => {
    const jump = jumpOf(
      stepsOf(mm => (mm < 115 ? 0.1 : 0.35)),
      TRAVEL,
      0,
    );
    expect(jump?.fromMm).toBe(115);
    expect(jump?.size).toBeCloseTo(0.35, 1);
  });

  test('is not seen in what grows evenly, nor right at the end', () => {
    const grows = stepsOf(mm => 0.004 * mm);
    expect(jumpOf(grows, TRAVEL, 0)).toBeNull();
    const justNow = stepsOf(mm => (mm < 140 ? 0 : 0.4));
    expect(jumpOf(justNow, TRAVEL, 0)).toBeNull();
    expect(jumpOf(stepsOf(() => 0).slice(0, 2), TRAVEL, 0)).toBeNull();
  });
});

describe('trims that no chart saw', () => {
  const flat = Array.from({ length: 36 }, () => 7.5);

  test('one step is found, its window counts for neither level', () => {
    const values = flat.map((value, i) => (i < 12 ? value : i === 12 ? 7.65 : 7.8));
    const found = unseenTrims(rowsOf(values), TRAVEL, []);
    expect(found).toHaveLength(1);
    expect(found[0]?.fromMm).toBe(12 * 25 + 12.5);
    expect(found[0]?.change).toBeCloseTo(0.3, 1);
  });

  test('two are found one after the other; one that is known is not found again', () => {
    const values = flat.map((value, i) => value + (i >= 10 ? 0.3 : 0) - (i >= 24 ? 0.5 : 0));
    expect(unseenTrims(rowsOf(values), TRAVEL, [])).toHaveLength(2);
    const known = [{ channel: TRAVEL, fromMm: 250, change: 0.3 }];
    const rest = unseenTrims(rowsOf(values), TRAVEL, known);
    expect(rest).toHaveLength(1);
    expect(rest[0]?.change).toBeCloseTo(-0.5, 1);
  });

  test('scatter, a slow drift and a step too small for a hand are none', () => {
    expect(unseenTrims(rowsOf(flat), TRAVEL, [])).toEqual([]);
    expect(unseenTrims(rowsOf(flat.map((value, i) => (i < 12 ? value : 7.56))), TRAVEL, [])).toEqual([]);
    const unknown = rowsOf(flat);
    for (const row of unknown) row.values[TRAVEL] = Number.NaN;
    expect(unseenTrims(unknown, TRAVEL, [])).toEqual([]);
  });
});

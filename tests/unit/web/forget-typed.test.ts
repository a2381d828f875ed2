import { expect, it } from 'vitest';
import { forgetTyped } from '../../../dashboard/web/data/forget-typed.ts';

function storage(...keys: string[]) {
  const kept = new Set(keys);
  return {
    kept,
    get length() {
      return kept.size;
    },
    key: (n: number) => [...kept][n] ?? null,
    removeItem: (key: string) => void kept.delete(key),
  };
}

it('drops what was typed and not sent; what belongs to the device stays', () => {
  const device = storage(
    'girthlog.procedure-draft.new',
    'girthlog.procedure-draft.x/2',
    'girthlog.units',
    'another',
  );
  const tab = storage(
    'girthlog.joint.J-1/crew',
    'girthlog.draft.s/r/clock',
    'girthlog.who',
    'girthlog.training.key',
  );
  forgetTyped(device, tab);
  expect([...device.kept]).toEqual(['girthlog.units', 'another']);
  expect([...tab.kept]).toEqual(['girthlog.training.key']);
});

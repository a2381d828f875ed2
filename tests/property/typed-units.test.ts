import fc from 'fast-check';
import { afterEach, describe, expect, it } from 'vitest';
import { shownUnits, UNIT_SYSTEMS } from '#core/units/shown-units';
import { DECIMAL_SIGNS } from '../../dashboard/web/text/languages.ts';
import { format, manner } from '../../dashboard/web/text/text.ts';
import {
  isAmbiguousIn,
  storedText,
  typedNumberIn,
  typedStored,
} from '../../dashboard/web/text/typed-number.ts';

const QUANTITIES = Object.keys(shownUnits('metric')) as (keyof ReturnType<typeof shownUnits>)[];
const before = manner.value;
afterEach(() => {
  manner.value = before;
});

const way = fc.record({
  units: fc.constantFrom(...UNIT_SYSTEMS),
  decimal: fc.constantFrom(...DECIMAL_SIGNS),
});
/** Whole thousandths: what a person enters, and what is kept of it. */
const thousandths = fc.integer({ min: 0, max: 5_000_000 }).map(n => n / 1000);

describe('what is shown, typed again and stored', () => {
  it('differs by less than the last digit shown, in every unit and with either decimal sign', () => {
    fc.assert(
      fc.property(way, fc.constantFrom(...QUANTITIES), thousandths, (chosen, quantity, stored) => {
        manner.value = { ...before, ...chosen };
        const unit = format().units[quantity];
        const read = typedStored(quantity, storedText(quantity, stored));
        expect(read).not.toBeNull();
        // A hundredth of the last digit shown, by half of it either way.
        const step = 10 ** -(unit.decimals + 2);
        expect(Math.abs(unit.shown(read!) - unit.shown(stored))).toBeLessThanOrEqual(step / 2 + 1e-9);
        expect(format().value(quantity, read)).toBe(
          format().value(quantity, unit.toStored(Number(unit.shown(stored).toFixed(unit.decimals + 2)))),
        );
      }),
    );
  });

  it('does not drift: typed a second time it is the same text', () => {
    fc.assert(
      fc.property(way, fc.constantFrom(...QUANTITIES), thousandths, (chosen, quantity, stored) => {
        manner.value = { ...before, ...chosen };
        const once = storedText(quantity, stored);
        expect(storedText(quantity, typedStored(quantity, once))).toBe(once);
      }),
    );
  });
});

describe('a number typed with the sign of this device', () => {
  it('is that number; the same digits under the other sign are never another number', () => {
    fc.assert(
      fc.property(fc.constantFrom(...DECIMAL_SIGNS), thousandths, (decimal, value) => {
        const text = String(value);
        const [own, other] = decimal === 'comma' ? [',', '.'] : ['.', ','];
        expect(typedNumberIn(text.replace('.', own), decimal)).toBe(value);
        const foreign = text.replace('.', other);
        const read = typedNumberIn(foreign, decimal);
        expect(read === value || (read === null && isAmbiguousIn(foreign, decimal))).toBe(true);
      }),
    );
  });
});

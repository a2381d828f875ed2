import { format } from '../../text/text.ts';

/** Significant digits shown; digits before the point are never rounded away. */
const DIGITS = 4;
/** Digits of an uncertainty (GUM 7.2.6: at most two). */
const UNCERTAINTY_DIGITS = 2;
const MOST_DECIMALS = 9;

/** Plain decimals with a point, no exponent, no tail of zeros. */
function pointed(value: number, digits: number): string {
  if (value === 0) return '0';
  const place = Math.floor(Math.log10(Math.abs(Number(value.toPrecision(digits)))));
  const fixed = value.toFixed(Math.min(MOST_DECIMALS, Math.max(0, digits - 1 - place)));
  const shown = fixed.includes('.') ? fixed.replace(/\.?0+$/, '') : fixed;
  return shown === '-0' ? '0' : shown;
}

/** The same as it is shown, with the decimal sign of this device. */
export const plainNumber = (value: number, digits = DIGITS): string =>
  format().signed(pointed(value, digits).replace('-', '−'));

/** The number that is shown. */
export const roundedAsShown = (value: number, digits = DIGITS): number => Number(pointed(value, digits));

export interface ShownValue {
  readonly value: string;
  /** Null without an uncertainty. */
  readonly uncertainty: string | null;
}

/** A value with its expanded uncertainty, both to the same place: two digits of the uncertainty. */
export function shownWithUncertainty(value: number, expanded: number | null): ShownValue {
  if (expanded === null || !(expanded > 0)) return { value: plainNumber(value), uncertainty: null };
  const { signed } = format();
  const place = Math.floor(Math.log10(Number(expanded.toPrecision(UNCERTAINTY_DIGITS))));
  const decimals = Math.min(MOST_DECIMALS, Math.max(0, UNCERTAINTY_DIGITS - 1 - place));
  return {
    value: signed(value.toFixed(decimals).replace('-', '−')),
    uncertainty: signed(expanded.toFixed(decimals)),
  };
}

/** An uncertainty that is itself the result: two digits. */
export const shownUncertainty = (expanded: number): string => shownWithUncertainty(expanded, expanded).value;

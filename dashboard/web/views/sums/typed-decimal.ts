/** A number as a person types it, with a decimal comma or point; null when it is none. */
export function typedDecimal(typed: string): number | null {
  const clean = typed.trim().replace('−', '-').replace(',', '.');
  if (!/^[+-]?(\d{1,12}(\.\d{0,9})?|\.\d{1,9})$/.test(clean)) return null;
  return Number(clean);
}

/** A comma may be meant as a decimal or as thousands: then the number is read back to the person. */
export const hasComma = (typed: string): boolean => typed.includes(',');

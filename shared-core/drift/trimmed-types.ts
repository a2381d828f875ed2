/** Pass types whose operator trims travel and oscillation to fill the groove (common practice, no source). */
const TRIMMED_TYPES = ['fill', 'cap'];

/** `passType`: as the procedure names it, "fill" or "Cap"; null: unknown. */
export function mayBeTrimmed(passType: string | null): boolean {
  return TRIMMED_TYPES.includes((passType ?? '').trim().toLowerCase());
}

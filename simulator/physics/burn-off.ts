/**
 * How fast an arc and its own resistance melt a steel wire.
 *
 *   m = α·I + β·L·f²·I²          [mm/s, A, mm]
 *
 * α·I is melting by the arc, β·L·I² by resistance heating of the wire beyond the tip (Lesnewich form,
 * Welding Journal 1958). For 1.2 mm steel α ≈ 0.30 mm/(A·s), β ≈ 5e-5 1/(A²·s): typical values of the
 * pulsed-arc literature, from memory, order of magnitude. Other diameters by geometry: the melting energy
 * per length goes with d² (α ∝ 1/d²), resistance and section together with d⁴ (β ∝ 1/d⁴).
 * L is taken as the contact-tip-to-work distance, the arc length neglected. f² = mean(i²)/mean(i)² is 1
 * for an unmodulated current; a pulsed current heats by its root mean square.
 * Validity: solid steel wire 0.9–1.2 mm, 100–350 A, L 9–20 mm; absolute current to about 10–15 %.
 */
export interface BurnOff {
  /** mm of wire per A and s. */
  readonly alphaMmPerAs: number;
  /** mm of wire per A², s and mm of electrode. */
  readonly betaPerA2s: number;
}

export function burnOffOf(wireDiameterMm: number): BurnOff {
  const ratio = 1.2 / wireDiameterMm;
  const squared = ratio * ratio;
  return { alphaMmPerAs: 0.3 * squared, betaPerA2s: 5e-5 * squared * squared };
}

/** Melting rate, mm/s, at `currentA` and electrode length `lengthMm`. */
export function meltingRateMmS(wire: BurnOff, currentA: number, lengthMm: number, formFactor2 = 1): number {
  return wire.alphaMmPerAs * currentA + wire.betaPerA2s * lengthMm * formFactor2 * currentA * currentA;
}

/** The current, A, at which the wire melts exactly as fast as it is fed. */
export function burnOffCurrentA(wire: BurnOff, feedMmS: number, lengthMm: number, formFactor2 = 1): number {
  const quadratic = wire.betaPerA2s * lengthMm * formFactor2;
  const linear = wire.alphaMmPerAs;
  // The stable form of the positive root: no cancellation where the quadratic part is small.
  return (2 * feedMmS) / (linear + Math.sqrt(linear * linear + 4 * quadratic * feedMmS));
}

/** dI/dL at constant feed, A/mm: −β·I² / (α + 2·β·L·I). */
export function currentPerLengthAPerMm(wire: BurnOff, currentA: number, lengthMm: number): number {
  return (
    (-wire.betaPerA2s * currentA * currentA) / (wire.alphaMmPerAs + 2 * wire.betaPerA2s * lengthMm * currentA)
  );
}

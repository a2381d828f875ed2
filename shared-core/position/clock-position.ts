/** Degrees brought into 0 ≤ θ < 360. */
export function normalDegrees(degrees: number): number {
  const turned = degrees % 360;
  const positive = turned < 0 ? turned + 360 : turned;
  // A tiny negative angle rounds up to a whole turn.
  return positive >= 360 ? 0 : positive;
}

/**
 * Clock position of an angle measured clockwise from the top, looking downstream: θ/30, in 0 < clock ≤ 12, the top
 * being 12. Source: the trade's o'clock convention (common practice, no source).
 * @param degrees any finite angle, °
 */
export function clockPosition(degrees: number): number {
  const clock = normalDegrees(degrees) / 30;
  return clock === 0 ? 12 : clock;
}

/** "4:30" for 4.5: whole minutes, 12:00 at the top. */
export function clockText(clock: number): string {
  const minutes = Math.round(clock * 60) % 720;
  const hour = Math.floor(minutes / 60);
  return `${hour === 0 ? 12 : hour}:${String(minutes % 60).padStart(2, '0')}`;
}

/** Degrees clockwise from the top of a clock position. */
export const degreesOfClock = (clock: number): number => normalDegrees(clock * 30);

/** True if `clock` lies in the zone read clockwise from `from` to `to`; equal ends are the whole circumference. */
export function inClockZone(clock: number, zone: { readonly from: number; readonly to: number }): boolean {
  const at = clock % 12;
  const from = zone.from % 12;
  const to = zone.to % 12;
  if (from === to) return true;
  return from < to ? at >= from && at <= to : at >= from || at <= to;
}

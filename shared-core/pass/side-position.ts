/** Where along its side the torch is: all reported travel, in arcs and out of them, and how sure that is. */
import type { Slice } from '../arc/slice.ts';
import { SUM } from '../arc/sums.ts';
import {
  circumferentialPosition,
  DEFAULT_SENSE,
  positionUncertaintyMm,
} from '../position/circumferential-position.ts';
import { inClockZone } from '../position/clock-position.ts';
import type { EngineAssignment, EngineResume, EngineSettings } from './engine-api.ts';

export class SidePosition {
  /** All travel since the engine started, mm at the reference radius. */
  reportedMm = 0;
  /** True once the source has given travel. */
  known = false;
  private readonly settings: EngineSettings;
  /** What last travel would have covered where nothing was observed or travel was unknown, mm. */
  private unbridgedMm = 0;
  private lastMmPerS = 0;
  /** Unobserved since `lastMmPerS` was learned; whole µs, so that pieces of a stretch add up exactly. */
  private unobservedUs = 0;
  private unobservedFromUs = 0;
  private readonly origins = new Map<string, number>();

  /** Where an earlier engine left the work of this key. */
  private left: (NonNullable<EngineResume['openPass']> & { readonly key: string }) | null = null;

  constructor(settings: EngineSettings) {
    this.settings = settings;
  }

  resume(key: string, left: NonNullable<EngineResume['openPass']>): void {
    this.left = { ...left, key };
    this.origins.delete(key);
  }

  travel({ sums }: Slice, inPass: boolean): void {
    const knownS = sums[SUM.travelKnownS]!;
    this.reportedMm += sums[SUM.travelMm]!;
    if (knownS > 0) {
      this.known = true;
      this.unbridgedMm = this.unbridgedNowMm;
      this.unobservedUs = 0;
      this.lastMmPerS = sums[SUM.travelMm]! / knownS;
    }
    const unknownS = sums[SUM.observedS]! - knownS + sums[SUM.missingS]!;
    if (inPass && unknownS > 1e-9) this.unbridgedMm += Math.abs(this.lastMmPerS) * unknownS;
  }

  /** A stretch without samples; `bridgedMm` is what a distance channel says it covered, NaN without one. */
  unobserved(fromUs: number, toUs: number, bridgedMm: number, burning: boolean): void {
    if (Number.isFinite(bridgedMm)) this.reportedMm += bridgedMm;
    else if (burning) {
      if (this.unobservedUs === 0) this.unobservedFromUs = fromUs;
      this.unobservedUs += toUs - fromUs;
    }
  }

  /** The arc ended at `tUs`: a stretch behind that is not the pass's. */
  forgetUnobservedAfter(tUs: number): void {
    if (this.unobservedFromUs >= tUs) this.unobservedUs = 0;
  }

  /**
   * Reported travel that counts as 0 for a pass starting at `startMm`; a continued side keeps its own, and one
   * continued from an earlier engine takes up where that left it, less sure by what was travelled meanwhile.
   */
  originFor(key: string | null, startMm: number, startUs: number, travelRatio: number): number {
    const kept = key === null ? undefined : this.origins.get(key);
    if (kept !== undefined) return kept;
    this.unobservedUs = 0;
    this.unbridgedMm = 0;
    const { left } = this;
    if (key === null || left?.key !== key || left.endPositionMm === null) return startMm;
    this.unbridgedMm = (left.travelMmPerS * Math.max(0, startUs - left.endUs)) / 1e6;
    return startMm - left.endPositionMm / travelRatio;
  }

  remember(key: string, originMm: number): void {
    this.origins.set(key, originMm);
  }

  /** Expanded (k = 2) uncertainty of a position `alongMm` from the side's start, mm. */
  uncertaintyMm(alongMm: number): number {
    return (
      2 *
        positionUncertaintyMm({
          zeroMm: this.settings.positionUncertaintyMm,
          alongMm,
          travelRelative: this.settings.uncertainty.travel ?? 0,
          unobservedMm: 0,
        }) +
      this.unbridgedNowMm
    );
  }

  private get unbridgedNowMm(): number {
    return this.unbridgedMm + (Math.abs(this.lastMmPerS) * this.unobservedUs) / 1e6;
  }

  on(assignment: EngineAssignment, alongMm: number): { clock: number; circumferentialMm: number } {
    return circumferentialPosition({
      alongMm,
      side: assignment.side,
      // An assignment counts degrees in the side's own direction of travel.
      startDegrees: DEFAULT_SENSE[assignment.side] * assignment.startDegrees,
      outsideDiameterMm: assignment.outsideDiameterMm,
    });
  }

  clockAt(assignment: EngineAssignment | null, alongMm: number): number | null {
    return assignment && this.known ? this.on(assignment, alongMm).clock : null;
  }

  /** True where the zone applies; without a position no zone does. */
  inZone(
    zone: { readonly from: number; readonly to: number } | null,
    assignment: EngineAssignment | null,
    alongMm: number,
  ): boolean {
    if (zone === null) return true;
    const clock = this.clockAt(assignment, alongMm);
    return clock !== null && inClockZone(clock, zone);
  }
}

import type { Live } from '#core/messages/live';

export interface TrailPoint {
  readonly tUs: number;
  readonly current: number | null;
  readonly voltage: number | null;
  readonly wireFeed: number | null;
  readonly travel: number | null;
  readonly power: number | null;
  readonly arcEnergy: number | null;
  readonly clock: number | null;
}

/** Longest trend the screen offers, with the time the store needs to catch up, s. */
const KEEP_US = 320e6;

/** The last minutes of live values of one rig, oldest first: what a trend adds to the stored history. */
export class LiveTrail {
  points: TrailPoint[] = [];
  /** Wall clock minus record time, ms, from the newest message. */
  utcMinusRecordMs: number | null = null;

  add(live: Live): void {
    const last = this.points.at(-1);
    // Record time of another stream starts anew: what went before is another axis.
    if (last !== undefined && live.tUs <= last.tUs) this.points = [];
    this.utcMinusRecordMs = Date.parse(live.at) - live.tUs / 1000;
    const { values } = live;
    this.points.push({
      tUs: live.tUs,
      current: values.weldingCurrent,
      voltage: values.arcVoltage,
      wireFeed: values.wireFeedSpeed,
      travel: values.travelSpeed,
      power: values.power,
      arcEnergy: live.pass?.arcEnergyKjMm ?? null,
      clock: live.position?.clock ?? null,
    });
    const oldest = live.tUs - KEEP_US;
    if ((this.points[0]?.tUs ?? 0) < oldest - 10e6) {
      this.points = this.points.filter(point => point.tUs >= oldest);
    }
  }
}

/**
 * Watches whether the running weld is the assigned pass. State in weld length: after travel starts, feed and
 * travel are gathered and compared once with every pass of the procedure; anew after a restart, and every
 * further 25 mm only while another pass looks likelier, to see it end. Rules: docs/engine.md "Wrong pass".
 */
import type { Slice } from '../arc/slice.ts';
import { addSums, SUM, zeroSums } from '../arc/sums.ts';
import type { Reason } from '../messages/common.ts';
import type { PassMismatch } from '../messages/live.ts';
import type { EngineEffect } from './engine-api.ts';
import type { ClockZone } from './limit-watches.ts';
import { type NearestPass, nearestPass, type RunningSet } from './nearest-pass.ts';
import { mismatchEndedText, mismatchEvent, mismatchText } from './pass-mismatch-events.ts';
import type { ProgramHistory } from './program-history.ts';
import { KNOWN_ENOUGH, quantityMeans } from './quantities.ts';
import type { Work } from './work.ts';

/** The decision falls between these lengths of weld after travel starts, mm. */
export const DECIDE_FROM_MM = 25;
export const DECIDE_UNTIL_MM = 50;
/** The carriage is still gathering speed before this, mm. */
const SETTLE_MM = 5;
/** Shorter than this, what was observed is no fair sample of the set, mm. */
const LEAST_OBSERVED_MM = 10;
const TEXT_MAX = 300;

export interface MatchContext {
  readonly work: Work;
  readonly passIndex: number;
  readonly tUs: number;
  readonly programs: ProgramHistory;
  readonly inZone: (zone: ClockZone, alongMm: number) => boolean;
}

export class PassMatch {
  /** Another pass looks likelier, now. */
  current: PassMismatch | null = null;
  private sums = zeroSums();
  private startMm: number | null = null;
  private alongMm = 0;
  private fromUs: number | null = null;
  private settleMm = SETTLE_MM;
  private done = false;
  /** The likelier passes as last told; none: nothing, or that it is over. */
  private told: readonly string[] = [];
  private readonly found: string[] = [];
  private judged = false;
  private travelKnown = false;
  private reason: string | null = null;

  /** A slice of burning arc that ended at `alongMm` and covered `weldMm`. */
  burn(slice: Slice, weldMm: number, alongMm: number): void {
    if (this.done) return;
    if (slice.motion !== 'unknown') this.travelKnown = true;
    if (slice.motion !== 'moving') return;
    this.startMm ??= alongMm - weldMm;
    this.alongMm = alongMm;
    if (alongMm - this.startMm <= this.settleMm) return;
    this.fromUs ??= slice.fromUs;
    addSums(this.sums, slice.sums);
  }

  /** The arc stopped: nothing looks like anything now. */
  stop(): void {
    this.current = null;
    this.done = true;
  }

  restart(): void {
    this.begin(SETTLE_MM);
  }

  /** Far enough to decide, and not decided. */
  get due(): boolean {
    return !this.done && this.startMm !== null && this.alongMm - this.startMm >= DECIDE_FROM_MM;
  }

  /** The decision, where it can be made now; an event where it says something new. */
  decide(context: MatchContext): EngineEffect | null {
    const running = this.running(context);
    if (running === 'wait') return null;
    const { work, tUs, passIndex } = context;
    const result: NearestPass =
      typeof running === 'string'
        ? { kind: 'notJudged', reason: running }
        : nearestPass(running, work.procedure!, work.pass!.name, zone => context.inZone(zone, this.alongMm));
    if (result.kind === 'notJudged' || typeof running === 'string') {
      if (result.kind === 'notJudged') this.reason = result.reason;
      this.current = null;
      // What was told stands until the contrary is seen.
      if (this.told.length > 0) this.begin(0);
      else this.done = true;
      return null;
    }
    this.judged = true;
    const travelledMm = this.alongMm - this.startMm!;
    const before = this.told;
    const found = result.kind === 'other' ? result.likelier : [];
    // Less sharp than what was told, such as over a change of program: nothing new.
    const vaguer = before.length > 0 && before.every(pass => found.includes(pass));
    const likelier = vaguer ? before : found;
    const changed = likelier.join('\n') !== before.join('\n');
    this.told = likelier;
    const set = { assigned: work.pass!.name, ...running };
    const text =
      likelier.length > 0 ? mismatchText({ ...set, likelier }) : mismatchEndedText({ ...set, before });
    if (likelier.length === 0) {
      this.current = null;
      this.done = true;
    } else {
      if (changed || this.current === null) {
        this.current = { ...set, likelier: [...likelier], sinceUs: tUs, travelledMm, text };
      }
      if (changed) this.found.push(text);
      this.begin(0);
    }
    if (!changed) return null;
    const { distances } = result;
    const positionMm = this.alongMm;
    return mismatchEvent({ ...set, likelier, distances, travelledMm, positionMm, tUs, passIndex, text });
  }

  /** What the pass's record says about it. */
  reasons(work: Work): Reason[] {
    if (!work.pass || !work.procedure || work.procedure.passes.length < 2) return [];
    const fields = ['procedurePass'];
    if (this.found.length > 0) {
      const text = this.found.join(' ').slice(0, TEXT_MAX);
      return [{ code: 'looksLikeOtherPass', fields, text }];
    }
    if (this.judged) return [];
    const why =
      this.reason ??
      (this.travelKnown
        ? `less than ${DECIDE_FROM_MM} mm was welded without a stop`
        : 'the source gives no travel');
    const text = `not compared with the other passes of the procedure: ${why}`;
    return [{ code: 'passNotCompared', fields, text: text.slice(0, TEXT_MAX) }];
  }

  private begin(settleMm: number): void {
    this.sums = zeroSums();
    this.startMm = null;
    this.fromUs = null;
    this.settleMm = settleMm;
    this.done = false;
  }

  /** What runs, or why that cannot be said; `wait` where it may still turn out. */
  private running({ work, programs, tUs }: MatchContext): RunningSet | string {
    const { sums, fromUs } = this;
    const observedMm = sums[SUM.travelMm]! * work.geometry.travelRatio;
    const tooLate = this.alongMm - this.startMm! > DECIDE_UNTIL_MM;
    if (work.pass === null) return tooLate ? 'the assigned procedure revision had not arrived' : 'wait';
    if (observedMm < LEAST_OBSERVED_MM || fromUs === null) {
      const seen = `only ${observedMm.toFixed(0)} mm of the first ${DECIDE_UNTIL_MM} mm was observed`;
      return tooLate ? seen : 'wait';
    }
    const { wireFeedSpeed, travelSpeed } = quantityMeans(sums, work.geometry);
    const feedKnown = sums[SUM.wireKnownS]! >= sums[SUM.observedS]! * KNOWN_ENOUGH;
    if (!feedKnown || wireFeedSpeed === null || travelSpeed === null) {
      return 'the wire feed was not known where travel started';
    }
    const program = programs.during(fromUs, tUs);
    return { wireFeedMmS: wireFeedSpeed, travelMmS: travelSpeed, program };
  }
}

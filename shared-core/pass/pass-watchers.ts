/** What is watched while a pass burns: its limits, whether it is the assigned pass, and changes along it. */
import type { DriftSettings } from '../messages/drift.ts';
import { driftEvent } from './drift-events.ts';
import type { EngineEffect } from './engine-api.ts';
import { type ClockZone, LimitWatches } from './limit-watches.ts';
import type { OpenPass } from './open-pass.ts';
import { outOfRangeEnd, outOfRangeStart } from './out-of-range-events.ts';
import type { WatchChange } from './out-of-range-watch.ts';
import type { ProgramHistory } from './program-history.ts';
import type { QuantityMeans } from './quantities.ts';
import type { SidePosition } from './side-position.ts';
import type { Work } from './work.ts';

/** A start settles in this time; nothing is called out of range before, s. */
const START_GRACE_S = 2;

export class PassWatchers {
  readonly limits: LimitWatches;
  private readonly position: SidePosition;
  private readonly programs: ProgramHistory;
  private readonly means: (tUs: number) => QuantityMeans;
  private readonly effects: EngineEffect[];

  constructor(
    settings: DriftSettings,
    work: Work,
    sources: {
      readonly position: SidePosition;
      readonly programs: ProgramHistory;
      /** Of the sliding second that ends then. */
      readonly means: (tUs: number) => QuantityMeans;
      readonly effects: EngineEffect[];
    },
  ) {
    this.limits = new LimitWatches(settings, work.limits);
    this.position = sources.position;
    this.programs = sources.programs;
    this.means = sources.means;
    this.effects = sources.effects;
  }

  /** A slice of the pass that ended at `tUs` and `alongMm`, of an arc that began at `arcStartUs`. */
  burned(pass: OpenPass, tUs: number, arcStartUs: number, alongMm: number): void {
    if (tUs - arcStartUs >= START_GRACE_S * 1e6 && this.limits.due(tUs)) {
      this.evaluateLimits(pass, tUs, alongMm);
    }
    if (pass.match.due) this.compare(pass, tUs);
    if (pass.drift.due(pass.windows.closed)) this.judgeDrift(pass, tUs, alongMm);
  }

  /** The arc has stopped: what was out of range ends. */
  stopped(pass: OpenPass, tUs: number, lastUs: number): void {
    this.tellChanges(this.limits.stop(tUs, this.known(pass.endMm)), pass, lastUs);
  }

  private evaluateLimits(pass: OpenPass, tUs: number, alongMm: number): void {
    const inZone = (zone: ClockZone): boolean => this.position.inZone(zone, pass.work.assignment, alongMm);
    this.tellChanges(this.limits.evaluate(tUs, this.known(alongMm), this.means(tUs), inZone), pass, tUs);
  }

  private compare({ match, work, index }: OpenPass, tUs: number): void {
    const inZone = (zone: ClockZone, mm: number) => this.position.inZone(zone, work.assignment, mm);
    const told = match.decide({ work, passIndex: index, tUs, programs: this.programs, inZone });
    if (told) this.effects.push(told);
  }

  private judgeDrift(pass: OpenPass, tUs: number, alongMm: number): void {
    const clockAt = (mm: number): number | null => this.position.clockAt(pass.work.assignment, mm);
    const changes = pass.drift.judge(pass.windows.closed, {
      tUs,
      alongMm,
      clockAt,
      uncertaintyMm: mm => this.position.uncertaintyMm(mm),
      extinctionsSince: mm => pass.extinctionsMm.filter(at => at >= mm).length,
      passMismatch: pass.match.current,
    });
    for (const change of changes) {
      this.effects.push(driftEvent(change, { tUs, passIndex: pass.index, clockAt }));
    }
  }

  private tellChanges(changes: readonly WatchChange[], pass: OpenPass, tUs: number): void {
    for (const { began, ended } of changes) {
      if (began) this.effects.push(outOfRangeStart(began, tUs, pass.index));
      if (ended) {
        pass.spans.push(ended);
        this.effects.push(outOfRangeEnd(ended, tUs, pass.index));
      }
    }
  }

  private known(mm: number): number | null {
    return this.position.known ? mm : null;
  }
}

/**
 * Arcs become passes: which arcs belong together, where on the joint they lie, and what is out of range.
 * Told by the arc tracker in time order; speaks in effects. Rules: docs/engine.md "Passes" and "Position".
 */
import type { ArcSink } from '../arc/arc-tracker.ts';
import { copySlice, type Slice } from '../arc/slice.ts';
import type { Reason } from '../messages/common.ts';
import type { DriftDesk } from './drift-desk.ts';
import type { EngineEffect, EngineResume, EngineSettings } from './engine-api.ts';
import { GasWatch } from './gas-watch.ts';
import { OpenPass } from './open-pass.ts';
import { summarisePass } from './pass-summary.ts';
import { PassWatchers } from './pass-watchers.ts';
import { ProgramHistory } from './program-history.ts';
import { quantityMeans } from './quantities.ts';
import { SidePosition } from './side-position.ts';
import { signalGap, signalHeld } from './signal-events.ts';
import { SlidingMean } from './sliding-mean.ts';
import type { Work } from './work.ts';

type EventEffect = Extract<EngineEffect, { kind: 'event' }>;

export class PassMachine implements ArcSink {
  readonly sliding: SlidingMean;
  readonly position: SidePosition;
  readonly programs = new ProgramHistory();
  readonly effects: EngineEffect[] = [];
  open: OpenPass | null = null;
  readonly watchers: PassWatchers;
  readonly drift: DriftDesk;
  /** Record time of second 0. */
  originUs = 0;
  lastUs = 0;
  private readonly settings: EngineSettings;
  private work: Work;
  private lastIndex: number;
  /** Work key → the first pass it had, so that later ones can name it. */
  private readonly firstIndexOf = new Map<string, number>();
  /** Slices of a trial or a drop-out, until it is known what they were; with the travel at their end. */
  private readonly undecided: { slice: Slice; reportedMm: number }[] = [];
  /** Reported travel where the undecided slices begin. */
  private undecidedFromMm = 0;
  private arcStartUs = 0;
  private readonly gas = new GasWatch();
  private held: { fromUs: number; toUs: number } | null = null;

  constructor(settings: EngineSettings, work: Work, resume: EngineResume | null, drift: DriftDesk) {
    this.settings = settings;
    this.drift = drift;
    this.sliding = new SlidingMean(settings.liveMeanS);
    this.position = new SidePosition(settings);
    this.work = work;
    this.lastIndex = 0;
    this.watchers = new PassWatchers(drift.settings, work, {
      position: this.position,
      programs: this.programs,
      means: tUs => this.means(tUs),
      effects: this.effects,
    });
    if (resume) this.resume(resume);
  }

  /** Work of an earlier engine goes on; what is open here is forgotten. */
  resume({ lastPassIndex, openPass }: EngineResume): void {
    this.open = null;
    this.effects.length = 0;
    this.lastIndex = lastPassIndex;
    if (!openPass) return;
    const key = `assignment ${openPass.assignmentId}`;
    this.firstIndexOf.set(key, openPass.index);
    this.position.resume(key, openPass);
  }

  get currentWork(): Work {
    return this.work;
  }

  /** Other work from here on: an open pass of the old is closed. The arc has been cut already. */
  setWork(work: Work): void {
    if (work.key !== this.work.key) this.close([]);
    else if (this.open) {
      this.open.work = work;
      const { settings } = this.open.drift.pass;
      this.open.drift = this.drift.watch(work, this.arcStartUs, settings);
    }
    this.work = work;
    this.watchers.limits.reset(work.limits);
  }

  slice(slice: Slice): void {
    this.endHeld();
    const fromMm = this.position.reportedMm;
    this.sliding.add(slice.toUs, slice.sums);
    this.position.travel(slice, this.open !== null && slice.phase !== 'idle');
    this.lastUs = slice.toUs;
    const gasOffUs = this.gas.follow(slice);
    if (gasOffUs !== null) this.open?.startStop.gasOff(gasOffUs);
    if (slice.phase === 'burning' && this.open) {
      this.open.burn(slice, this.alongMm(this.open));
      this.watchers.burned(this.open, slice.toUs, this.arcStartUs, this.alongMm(this.open));
    } else if (slice.phase === 'idle') this.closeIfOver(slice.toUs);
    else {
      if (this.undecided.length === 0) this.undecidedFromMm = fromMm;
      this.undecided.push({ slice: copySlice(slice), reportedMm: this.position.reportedMm });
    }
  }

  arcStarted(tUs: number): void {
    const pass = this.passFor(tUs);
    this.arcStartUs = tUs;
    for (const { slice, reportedMm } of this.undecided) pass.burn(slice, this.alongMm(pass, reportedMm));
    this.undecided.length = 0;
    this.event('arcStart', tUs, pass.index, pass.restarts === 0 ? 'Arc on.' : 'Arc on again.', {
      positionMm: this.known(pass.restarts === 0 ? pass.startMm : (pass.stops.at(-1)?.positionMm ?? null)),
      restart: pass.restarts > 0,
    });
  }

  trialDropped(): void {
    this.undecided.length = 0;
  }

  dropOutOver(recovered: boolean): void {
    const pass = this.open;
    if (!pass) return;
    for (const { slice, reportedMm } of this.undecided) pass.bridge(slice, this.alongMm(pass, reportedMm));
    this.undecided.length = 0;
    if (recovered) pass.extinctionsMm.push(this.alongMm(pass));
  }

  arcEnded(tUs: number, why: 'stopped' | 'interrupted' | 'cut' | 'recordingEnded'): void {
    const pass = this.open;
    if (!pass) return;
    const endMm = this.alongMm(pass, this.decidedMm);
    this.undecided.length = 0;
    pass.stop(tUs, endMm);
    this.position.forgetUnobservedAfter(tUs);
    pass.positionUncertaintyMm = this.position.uncertaintyMm(pass.endMm);
    this.watchers.stopped(pass, tUs, this.lastUs);
    this.event('arcStop', tUs, pass.index, 'Arc off.', { positionMm: this.known(pass.endMm), why });
    if (why === 'interrupted') {
      const text = `nothing was observed for more than ${this.settings.passJoinS} s while the arc burned`;
      this.close([{ code: 'interrupted', fields: ['endS'], text }]);
    } else if (why === 'recordingEnded') {
      const text = 'the recording ended while the arc burned';
      this.close([{ code: 'recordingEnded', fields: ['endS'], text }]);
    } else this.snapshot();
  }

  unobserved(kind: 'gap' | 'held', fromUs: number, toUs: number, bridgedMm: number): void {
    this.position.unobserved(fromUs, toUs, bridgedMm, this.open?.burning ?? false);
    this.open?.addUnobserved(fromUs, toUs);
    this.lastUs = toUs;
    if (kind === 'held') {
      if (this.held && this.held.toUs === fromUs) this.held.toUs = toUs;
      else {
        this.endHeld();
        this.held = { fromUs, toUs };
      }
    } else {
      this.endHeld();
      this.effects.push(signalGap(fromUs, toUs, this.open?.index ?? null));
    }
    this.closeIfOver(toUs);
  }

  /** A person, the end of the recording or other work closes the open pass. */
  close(reasons: readonly Reason[]): void {
    if (!this.open) return;
    this.tellPass(this.open, 'closed', reasons);
    const { index } = this.open;
    this.open = null;
    this.event('passClosed', this.lastUs, index, `Pass ${index} closed.`, {});
  }

  /** The open pass as it stands, for the record. */
  snapshot(reasons: readonly Reason[] = []): void {
    if (this.open) this.tellPass(this.open, 'open', reasons);
  }

  /** The recording is over: what is only announced when it ends is announced. */
  finish(): void {
    this.endHeld();
    this.close([]);
  }

  alongMm(pass: OpenPass, reportedMm = this.position.reportedMm): number {
    return (reportedMm - pass.originMm) * pass.work.geometry.travelRatio;
  }

  /** Means of the sliding second that ended at `nowUs`. */
  means(nowUs: number): ReturnType<typeof quantityMeans> {
    return quantityMeans(this.sliding.sums(nowUs), this.work.geometry);
  }

  /** Reported travel up to which it is known what the slices were. */
  private get decidedMm(): number {
    return this.undecided.length > 0 ? this.undecidedFromMm : this.position.reportedMm;
  }

  private passFor(tUs: number): OpenPass {
    const joins =
      this.open && (this.work.key !== null || tUs - this.open.endUs < this.settings.passJoinS * 1e6);
    if (this.open && joins) {
      this.open.restart(tUs, this.alongMm(this.open, this.decidedMm), this.position.known);
      return this.open;
    }
    this.close([]);
    const { key } = this.work;
    const continues = key === null ? null : (this.firstIndexOf.get(key) ?? null);
    const index = ++this.lastIndex;
    if (key !== null && continues === null) this.firstIndexOf.set(key, index);
    const { travelRatio } = this.work.geometry;
    const originMm = this.position.originFor(
      continues === null ? null : key,
      this.decidedMm,
      tUs,
      travelRatio,
    );
    if (key !== null) this.position.remember(key, originMm);
    this.open = new OpenPass({
      index,
      work: this.work,
      continues,
      startUs: tUs,
      startMm: (this.decidedMm - originMm) * travelRatio,
      originMm,
      windowLengthMm: this.settings.windowLengthMm,
      gasOnSinceUs: this.gas.onSinceUs,
      drift: this.drift.watch(this.work, tUs),
    });
    this.watchers.limits.reset(this.work.limits, this.drift.settings);
    return this.open;
  }

  /** Unassigned arcs that lie too far apart are no longer one pass. */
  private closeIfOver(nowUs: number): void {
    const pass = this.open;
    if (!pass || pass.burning || pass.work.key !== null || this.undecided.length > 0) return;
    if (nowUs - pass.endUs >= this.settings.passJoinS * 1e6) this.close([]);
  }

  private tellPass(open: OpenPass, state: 'open' | 'closed', reasons: readonly Reason[]): void {
    const { settings, originUs } = this;
    const context = { settings, originUs, gasKnown: this.gas.known, clockAt: this.clockAt(open) };
    const { pass, deviations } = summarisePass(open, context, reasons, state === 'closed');
    if (state === 'closed') this.drift.learn(open.work, pass);
    const { startUs, endUs } = open;
    const { assignment, geometry } = open.work;
    const windows = open.windows.closed;
    this.effects.push({
      kind: 'pass',
      state,
      startUs,
      endUs,
      pass,
      deviations,
      assignment,
      windows,
      geometry,
    });
  }

  private endHeld(): void {
    if (!this.held) return;
    const { fromUs, toUs } = this.held;
    this.held = null;
    this.effects.push(signalHeld(fromUs, toUs, this.open?.index ?? null));
  }

  private clockAt({ work }: OpenPass): (alongMm: number) => number | null {
    return alongMm => this.position.clockAt(work.assignment, alongMm);
  }

  private known(mm: number | null): number | null {
    return this.position.known ? mm : null;
  }

  private event(
    type: EventEffect['type'],
    tUs: number,
    passIndex: number | null,
    text: string,
    data: EventEffect['data'],
  ): void {
    this.effects.push({ kind: 'event', type, tUs, passIndex, text, data });
  }
}

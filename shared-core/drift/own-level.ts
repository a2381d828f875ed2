/**
 * The level of this pass beside that of good passes: their mean before anything is seen, more and more its own average
 * (the mean of a normal level known to ± passSigma, observed with the variance of neighbouring windows). So a pass that
 * differs as passes of this rig do is not called for it, and a change along it stands out. What is learned lies some way
 * back, so that a change that has just begun is not in it. Cf. self-starting charts, Hawkins, The Statistician 36 (1987).
 */
const BACK_MM = 50;
/** A level is known well enough to see changes after this much weld, mm. */
const LEARN_MM = 100;

export class OwnLevel {
  /** Distance from the mean of good passes, in the channel's unit. */
  offset = 0;
  /** Weld it is an average over, mm. */
  seenMm = 0;
  /** Plain average of what was seen, without what good passes have. */
  plain = 0;
  private priorMm: number | null = null;
  private readonly back: { off: number; mm: number }[] = [];
  private backMm = 0;

  get known(): boolean {
    return this.seenMm >= LEARN_MM;
  }

  /** A piece of weld; `priorMm`: weld after which own and good passes count alike. `hold`: a change may have begun. */
  add(off: number, mm: number, priorMm: number, hold: boolean): void {
    this.priorMm ??= priorMm;
    if (!this.known) {
      this.learn(off, mm);
      return;
    }
    this.back.push({ off, mm });
    this.backMm += mm;
    while (this.backMm - this.back[0]!.mm >= BACK_MM) {
      const old = this.back.shift()!;
      this.backMm -= old.mm;
      if (!hold) this.learn(old.off, old.mm);
    }
  }

  /** The pass runs at another level now, seen over `mm`: good passes say nothing about it. */
  set(offset: number, mm: number): void {
    this.offset = offset;
    this.plain = offset;
    this.seenMm = mm;
    this.priorMm = 0;
    this.forget();
  }

  /** What lies in between is not of this level. */
  forget(): void {
    this.back.length = 0;
    this.backMm = 0;
  }

  private learn(off: number, mm: number): void {
    this.seenMm += mm;
    this.plain += ((off - this.plain) * mm) / this.seenMm;
    this.offset += ((off - this.offset) * mm) / (this.priorMm! + this.seenMm);
  }
}

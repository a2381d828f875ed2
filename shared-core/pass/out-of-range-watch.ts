/**
 * The live rule: the sliding mean beyond a limit for longer than the on-delay is out of range; it ends when
 * the mean has been back inside, past the dead band, for longer than the off-delay, or when the arc stops.
 */
import { beyond, type ResolvedLimit } from '../procedure/limits.ts';

export interface WatchSettings {
  readonly onDelayS: number;
  readonly offDelayS: number;
}

/** One excursion; `toUs` null while it lasts. Positions are mm along the side at the weld. */
export interface OutOfRangeSpan {
  readonly limit: ResolvedLimit;
  readonly fromUs: number;
  readonly fromMm: number | null;
  readonly toUs: number | null;
  readonly toMm: number | null;
  /** The latest mean, and the one furthest beyond the limit. */
  readonly value: number;
  readonly extreme: number;
}

/** Share of the tolerance half-width that a value must come back inside by. */
const DEAD_BAND = 0.1;

/** What one evaluation changed. */
export interface WatchChange {
  readonly began: OutOfRangeSpan | null;
  readonly ended: OutOfRangeSpan | null;
}
const NOTHING: WatchChange = { began: null, ended: null };

interface Crossing {
  readonly us: number;
  readonly mm: number | null;
}

export class OutOfRangeWatch {
  readonly limit: ResolvedLimit;
  private readonly settings: WatchSettings;
  private readonly deadBand: number;
  private crossed: Crossing | null = null;
  private returned: Crossing | null = null;
  private announced = false;
  private extreme = 0;
  private value = 0;

  constructor(limit: ResolvedLimit, settings: WatchSettings) {
    this.limit = limit;
    this.settings = settings;
    this.deadBand = DEAD_BAND * halfWidth(limit);
  }

  /** The excursion that has been announced and is not over. */
  get span(): OutOfRangeSpan | null {
    return this.announced && this.crossed ? this.spanTo(this.crossed, null) : null;
  }

  /** The mean at `us`, null when there is none to judge. Says what has just begun or ended, if anything. */
  evaluate(us: number, mm: number | null, value: number | null): WatchChange {
    const over = value === null ? null : beyond(value, this.limit);
    if (value === null || over === null) return this.stop(us, mm);
    this.value = value;
    return this.announced
      ? this.evaluateAnnounced(us, mm, value, over)
      : this.evaluateQuiet(us, mm, value, over);
  }

  /** The arc has stopped, or there is nothing to judge: an announced excursion ends here. */
  stop(us: number, mm: number | null): WatchChange {
    const ended = this.announced && this.crossed ? this.spanTo(this.crossed, { us, mm }) : null;
    this.announced = false;
    this.crossed = null;
    this.returned = null;
    return { began: null, ended };
  }

  private evaluateQuiet(us: number, mm: number | null, value: number, over: number): WatchChange {
    if (over <= 0) {
      this.crossed = null;
      return NOTHING;
    }
    if (!this.crossed) {
      this.crossed = { us, mm };
      this.extreme = value;
    }
    this.keepExtreme(value, over);
    if (us - this.crossed.us < this.settings.onDelayS * 1e6) return NOTHING;
    this.announced = true;
    return { began: this.spanTo(this.crossed, null), ended: null };
  }

  private evaluateAnnounced(us: number, mm: number | null, value: number, over: number): WatchChange {
    this.keepExtreme(value, over);
    if (over > -this.deadBand) this.returned = null;
    else this.returned ??= { us, mm };
    const { returned } = this;
    if (!returned || us - returned.us < this.settings.offDelayS * 1e6) return NOTHING;
    return this.stop(returned.us, returned.mm);
  }

  private keepExtreme(value: number, over: number): void {
    if (over > (beyond(this.extreme, this.limit) ?? 0)) this.extreme = value;
  }

  private spanTo(from: Crossing, to: Crossing | null): OutOfRangeSpan {
    return {
      limit: this.limit,
      fromUs: from.us,
      fromMm: from.mm,
      toUs: to?.us ?? null,
      toMm: to?.mm ?? null,
      value: this.value,
      extreme: this.extreme,
    };
  }
}

/** Half the range; for a one-sided limit the way from nominal to it, else a hundredth of it (our own choice). */
function halfWidth(limit: ResolvedLimit): number {
  const { min, max, nominal } = limit;
  if (min !== null && max !== null) return (max - min) / 2;
  const end = min ?? max ?? 0;
  return nominal !== null && nominal !== end ? Math.abs(end - nominal) : Math.abs(end) / 100;
}

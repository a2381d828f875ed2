/**
 * Events and passes, each told once: they come on their own topic as they happen and again in the record lane.
 * The last ones are kept with an id, so that a reader who was away or is slow goes on where it stopped.
 */
export interface Announcement {
  /** Counts from 1 in this run. */
  readonly n: number;
  /** `<run>-<n>`: runs of the dashboard do not share numbers. */
  readonly id: string;
  readonly name: 'event' | 'pass' | 'entry' | 'readiness' | 'training';
  readonly data: string;
}

const KEPT = 1000;
const REMEMBERED = 5000;

export class Announcements {
  private readonly run: string;
  private readonly kept: Announcement[] = [];
  private readonly seen = new Set<string>();
  /** Number of the newest; 0 before the first. */
  last = 0;

  constructor(run: string) {
    this.run = run;
  }

  /** The announcement, or null when `key` has been told already. */
  tell(name: Announcement['name'], key: string, message: unknown): Announcement | null {
    if (this.seen.has(key)) return null;
    this.seen.add(key);
    if (this.seen.size > REMEMBERED) {
      const [oldest] = this.seen;
      if (oldest !== undefined) this.seen.delete(oldest);
    }
    this.last++;
    const id = `${this.run}-${this.last}`;
    const announcement = { n: this.last, id, name, data: JSON.stringify(message) };
    this.kept.push(announcement);
    if (this.kept.length > KEPT) this.kept.shift();
    return announcement;
  }

  /** The number of an id of this run from which everything is still kept; null of any other. */
  numberOf(id: string): number | null {
    const [, run, digits] = /^(\w+)-(\d{1,15})$/.exec(id) ?? [];
    const n = Number(digits);
    return run === this.run && n <= this.last && n >= this.last - this.kept.length ? n : null;
  }

  /** The one with this number; null when it is not kept any more, or not told yet. */
  at(n: number): Announcement | null {
    return this.kept[n - 1 - this.last + this.kept.length] ?? null;
  }
}

/**
 * Events and passes, each told once: they come on their own topic as they happen and again in the record lane.
 * The last ones are kept with an id, so that a reader who was away goes on where it stopped.
 */
export interface Announcement {
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
  private last = 0;

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
    const announcement = { id: `${this.run}-${this.last}`, name, data: JSON.stringify(message) };
    this.kept.push(announcement);
    if (this.kept.length > KEPT) this.kept.shift();
    return announcement;
  }

  /** Everything after `lastId`; none when it is of another run or too long ago, which the first picture covers. */
  since(lastId: string): readonly Announcement[] {
    const [, run, digits] = /^(\w+)-(\d{1,15})$/.exec(lastId) ?? [];
    const n = Number(digits);
    const first = this.last - this.kept.length + 1;
    if (run !== this.run || n < first - 1 || n > this.last) return [];
    return this.kept.slice(n - first + 1);
  }
}

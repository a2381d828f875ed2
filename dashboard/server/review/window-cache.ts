import type { PassWindows } from './pass-windows.ts';

/** Passes whose windows are kept: a few joints, so that a page, its report and its export cut them once. */
const KEPT = 60;

/** Windows by pass, what it counts as and its record; the oldest unused go first. */
export class WindowCache {
  private readonly kept = new Map<string, PassWindows>();

  of(key: string, make: () => PassWindows): PassWindows {
    const known = this.kept.get(key);
    if (known) {
      this.kept.delete(key);
      this.kept.set(key, known);
      return known;
    }
    const made = make();
    this.kept.set(key, made);
    if (this.kept.size > KEPT) {
      const [oldest] = this.kept.keys();
      if (oldest !== undefined) this.kept.delete(oldest);
    }
    return made;
  }
}

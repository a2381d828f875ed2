/** Summaries of stretches as they were read last: a view that is moved or asked for again reads few of them anew. */
import { decodeZoom, type PickWidth, type ZoomLevel } from '#core/series/zoom-levels';

interface Read {
  readonly widthsUs: readonly number[];
  readonly levels: Map<number, ZoomLevel>;
}

/** Stretches: some twelve hours of four rigs at 100 Hz, about 10 MB. */
const MOST = 2048;

/** A stretch's number is never used again and its summaries never change, so nothing here grows stale. */
export class ZoomCache {
  private readonly kept = new Map<number, Read>();

  /** `bytes` gives the summaries of the stretch as they are stored. */
  level(id: number, pick: PickWidth, bytes: () => Uint8Array): ZoomLevel | null {
    const known = this.kept.get(id);
    const width = known && pick(known.widthsUs);
    if (known && width === undefined) return null;
    const level = known && width !== undefined ? known.levels.get(width) : undefined;
    return level ?? this.read(id, pick, bytes());
  }

  private read(id: number, pick: PickWidth, bytes: Uint8Array): ZoomLevel | null {
    let widthsUs: readonly number[] = [];
    const level = decodeZoom(bytes, widths => {
      widthsUs = widths;
      return pick(widths);
    });
    const read = this.kept.get(id) ?? { widthsUs, levels: new Map() };
    if (level) read.levels.set(level.widthUs, level);
    this.kept.set(id, read);
    const [oldest] = this.kept.keys();
    if (this.kept.size > MOST && oldest !== undefined) this.kept.delete(oldest);
    return level;
  }
}

/** Summaries of stretches as they were read last: a view that is moved or asked for again reads few of them anew. */
import { decodeZoom, type LevelRows, levelRows, type PickWidth } from '#core/series/zoom-levels';

interface Read {
  readonly widthsUs: readonly number[];
  /** In the order of the widths; those not asked for yet are missing. */
  readonly levels: (LevelRows | undefined)[];
}

/** Stretches: some twelve hours of four rigs at 100 Hz, about 10 MB. */
const MOST = 2048;

/** A stretch's number is never used again and its summaries never change, so nothing here grows stale. */
export class ZoomCache {
  private readonly kept = new Map<number, Read>();

  /** `bytes` gives the summaries of the stretch as they are stored; null where it is gone. */
  level(id: number, pick: PickWidth, bytes: () => Uint8Array | null): LevelRows | null {
    const known = this.kept.get(id);
    if (!known) return this.read(id, pick, bytes());
    const width = pick(known.widthsUs);
    if (width === undefined) return null;
    return known.levels[known.widthsUs.indexOf(width)] ?? this.read(id, pick, bytes());
  }

  private read(id: number, pick: PickWidth, bytes: Uint8Array | null): LevelRows | null {
    if (bytes === null) return null;
    let widthsUs: readonly number[] = [];
    const decoded = decodeZoom(bytes, widths => {
      widthsUs = widths;
      return pick(widths);
    });
    const read = this.kept.get(id) ?? { widthsUs, levels: [] };
    this.kept.set(id, read);
    const [oldest] = this.kept.keys();
    if (this.kept.size > MOST && oldest !== undefined) this.kept.delete(oldest);
    if (!decoded) return null;
    const level = levelRows(decoded);
    read.levels[read.widthsUs.indexOf(level.widthUs)] = level;
    return level;
  }
}

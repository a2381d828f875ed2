/** What a dashboard's store holds of a rig's samples, read after the dashboard has ended. */
import Sqlite from 'better-sqlite3';
import { SqliteStore } from '../../../dashboard/server/store/sqlite-store.ts';
import { RECORD_HEADER } from './record-header.ts';

export interface StoredSamples {
  /** All of them; throws when their times have a hole. */
  readonly all: (rig: string, rateHz: number) => number;
  /** Those of two moments, ms UTC, to within the chunks at both ends. */
  readonly between: (rig: string, fromMs: number, toMs: number) => number;
}

export function readStoredSamples<T>(directory: string, read: (samples: StoredSamples) => T): T {
  const store = new SqliteStore({
    ...{ directory, sqlite: Sqlite, report: () => {}, now: () => new Date() },
    readOnly: true,
  });
  store.open();
  try {
    return read({
      all: (rig, rateHz) => {
        const range = { kind: 'record', fromUs: 0, toUs: Number.MAX_SAFE_INTEGER } as const;
        const chunks = store.sampleSpan({ site: RECORD_HEADER.site, rig }, range)?.chunks ?? [];
        const n = chunks.reduce((sum, chunk) => sum + chunk.n, 0);
        const spanUs = (chunks.at(-1)?.lastUs ?? 0) - (chunks[0]?.firstUs ?? 0);
        const expected = Math.round((spanUs * rateHz) / 1e6) + 1;
        if (n !== expected) throw new Error(`${rig}: ${n} of ${expected} samples at ${rateHz} Hz are stored`);
        return n;
      },
      between: (rig, fromMs, toMs) => {
        const range = { kind: 'utc', fromMs, toMs } as const;
        const span = store.sampleSpan({ site: RECORD_HEADER.site, rig }, range);
        if (!span) return 0;
        const { fromUs, toUs } = span;
        const inside = span.chunks.filter(({ lastUs, firstUs }) => lastUs >= fromUs && firstUs <= toUs);
        return inside.reduce((sum, { n, firstUs, lastUs }) => {
          const share = (Math.min(lastUs, toUs) - Math.max(firstUs, fromUs)) / Math.max(1, lastUs - firstUs);
          return sum + n * share;
        }, 0);
      },
    });
  } finally {
    store.close();
  }
}

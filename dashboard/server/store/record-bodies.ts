/** The exact text of a record that was hashed, wherever it lies: in its row, or in the stretch that holds its samples. */

import type { SampleChunk } from '#core/sample/chunk';
import { encodeChunk } from '#core/sample/codec';
import type { Prepare } from './statements.ts';
import { UnpackedStretch } from './stretch.ts';

/** Of a record's row what says where its text is. */
export interface BodyRow {
  readonly seq: number;
  readonly body: string;
  /** Null or 0: the row has it. */
  readonly settled: number | null;
}

export interface SettledRow extends BodyRow {
  readonly prev: string;
}

/** Never empty: an empty text is one that gave way, and says so. */
const UNREADABLE = '\u0001';
/** Records are read in order, so the stretch of the last is that of the next. */
const KEPT_STRETCHES = 2;

export class RecordBodies {
  private readonly sql: Prepare;
  private readonly unpacked = new Map<number, UnpackedStretch | null>();

  constructor(sql: Prepare) {
    this.sql = sql;
  }

  /** The row with its text and its predecessor's hash. A text that cannot be put together again is no JSON. */
  whole<T extends SettledRow>(streamId: number, row: T): T {
    if (!row.settled) return row;
    return { ...row, body: this.text(row) ?? UNREADABLE, prev: this.prevOf(streamId, row) };
  }

  /** Null where the stretch is damaged, or is not there. */
  text(row: BodyRow): string | null {
    if (!row.settled) return row.body;
    return this.stretch(row.settled)?.text(row.seq, row.body) ?? null;
  }

  chunk(stretchId: number, seq: number): SampleChunk | null {
    return this.stretch(stretchId)?.chunk(seq) ?? null;
  }

  /** As the line carried them. */
  sampleBytes(stretchId: number, seq: number): Uint8Array | null {
    const chunk = this.chunk(stretchId, seq);
    return chunk && encodeChunk(chunk);
  }

  private prevOf(streamId: number, { seq, prev }: SettledRow): string {
    if (prev !== '') return prev;
    const before = this.sql('SELECT hash FROM records WHERE stream_id = ? AND seq = ?').get(
      streamId,
      seq - 1,
    );
    return (before as { hash: string } | undefined)?.hash ?? '';
  }

  private stretch(id: number): UnpackedStretch | null {
    let unpacked = this.unpacked.get(id);
    if (unpacked === undefined) {
      unpacked = this.unpack(id);
      this.unpacked.set(id, unpacked);
      const [oldest] = this.unpacked.keys();
      if (this.unpacked.size > KEPT_STRETCHES && oldest !== undefined) this.unpacked.delete(oldest);
    }
    return unpacked;
  }

  private unpack(id: number): UnpackedStretch | null {
    const row = this.sql('SELECT texts, data FROM stretches WHERE id = ?').get(id) as
      | { texts: Uint8Array | null; data: Uint8Array | null }
      | undefined;
    if (!row?.texts || !row.data) return null;
    try {
      return new UnpackedStretch({ texts: row.texts, data: row.data });
    } catch {
      return null;
    }
  }
}

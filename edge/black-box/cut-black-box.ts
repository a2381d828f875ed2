/** One stretch of the black box as a file of its own, which the `file:` source reads like any recording. */
import { closeSync, fsyncSync, openSync, rmSync, writeSync } from 'node:fs';
import { encodeFrame, encodeHeader, KIND } from './black-box-format.ts';
import { listBlackBox, readFrames } from './black-box-reader.ts';

/** A device says at least every 2 s what it sends (docs/serial.md): without that its bytes cannot be read. */
const LEAD_US = 2_500_000;

export interface Cut {
  readonly frames: number;
  readonly bytes: number;
  /** Record time of the first and last that was found; null where nothing was. */
  readonly fromUs: number | null;
  readonly toUs: number | null;
  /** Bytes the black box says it left out in between. */
  readonly leftOut: number;
}

/** UTC in ms since 1970, by each file's own map. `out` must not exist yet; nothing found leaves none. */
export async function cutBlackBox(folder: string, fromMs: number, toMs: number, out: string): Promise<Cut> {
  const files = listBlackBox(folder);
  const result = {
    frames: 0,
    bytes: 0,
    leftOut: 0,
    fromUs: null as number | null,
    toUs: null as number | null,
  };
  const target = openSync(out, 'wx', 0o600);
  try {
    for (const [i, { path, header }] of files.entries()) {
      const fromUs = (fromMs - header.utcMinusRecordMs) * 1000 - LEAD_US;
      const toUs = (toMs - header.utcMinusRecordMs) * 1000;
      const next = files[i + 1];
      if (header.startedUs > toUs || (next && next.header.startedUs < fromUs)) continue;
      for await (const frame of readFrames(path)) {
        if (frame.arrivalUs < fromUs || frame.arrivalUs > toUs) continue;
        if (result.frames === 0) writeSync(target, encodeHeader(header));
        writeSync(target, encodeFrame(frame));
        result.frames += 1;
        if (frame.kind === KIND.bytes) result.bytes += frame.content.length;
        if (frame.kind === KIND.leftOut) result.leftOut += Buffer.from(frame.content).readDoubleLE();
        result.fromUs ??= frame.arrivalUs;
        result.toUs = frame.arrivalUs;
      }
    }
    fsyncSync(target);
  } finally {
    closeSync(target);
    if (result.frames === 0) rmSync(out, { force: true });
  }
  return result;
}

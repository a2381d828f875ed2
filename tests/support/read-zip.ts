/**
 * A zip archive read by its central directory, independently of what wrote it (PKWARE APPNOTE 6.3.10: 4.3.7 local
 * header, 4.3.12 central directory, 4.3.16 its end, 4.4.5 methods, 4.5 extra fields).
 */
import { inflateRawSync } from 'node:zlib';

export interface ZippedFile {
  readonly name: string;
  readonly content: Buffer;
  /** As DOS date and time say it, with nothing of any zone. */
  readonly shownAs: string;
  /** Time of change by the extended timestamp field, ms. */
  readonly changedMs: number | null;
}

export function readZip(bytes: Uint8Array): ZippedFile[] {
  const zip = Buffer.from(bytes);
  const end = zip.lastIndexOf(Buffer.from([0x50, 0x4b, 0x05, 0x06]));
  if (end < 0) throw new Error('no end of central directory');
  const count = zip.readUInt16LE(end + 10);
  const files: ZippedFile[] = [];
  let at = zip.readUInt32LE(end + 16);
  for (let i = 0; i < count; i++) {
    if (zip.readUInt32LE(at) !== 0x02014b50) throw new Error(`entry ${i} has no central header`);
    const method = zip.readUInt16LE(at + 10);
    const [time, date] = [zip.readUInt16LE(at + 12), zip.readUInt16LE(at + 14)];
    const packed = zip.readUInt32LE(at + 20);
    const size = zip.readUInt32LE(at + 24);
    const nameLength = zip.readUInt16LE(at + 28);
    const extraLength = zip.readUInt16LE(at + 30);
    const local = zip.readUInt32LE(at + 42);
    const name = zip.toString('utf8', at + 46, at + 46 + nameLength);
    const from = local + 30 + zip.readUInt16LE(local + 26) + zip.readUInt16LE(local + 28);
    const data = zip.subarray(from, from + packed);
    const content = method === 0 ? data : inflateRawSync(data);
    if (content.length !== size) throw new Error(`${name} has ${content.length} bytes for ${size}`);
    const two = (n: number): string => String(n).padStart(2, '0');
    const day = `${1980 + (date >> 9)}-${two((date >> 5) & 15)}-${two(date & 31)}`;
    const clock = `${two(time >> 11)}:${two((time >> 5) & 63)}:${two((time & 31) * 2)}`;
    const extra = zip.subarray(at + 46 + nameLength, at + 46 + nameLength + extraLength);
    files.push({ name, content, shownAs: `${day} ${clock}`, changedMs: changed(extra) });
    at += 46 + nameLength + extraLength + zip.readUInt16LE(at + 32);
  }
  return files;
}

function changed(extra: Buffer): number | null {
  for (let at = 0; at + 4 <= extra.length; at += 4 + extra.readUInt16LE(at + 2)) {
    if (extra.readUInt16LE(at) === 0x5455) return extra.readInt32LE(at + 5) * 1000;
  }
  return null;
}

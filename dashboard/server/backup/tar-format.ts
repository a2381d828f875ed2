/**
 * The one container a backup needs: POSIX ustar (IEEE Std 1003.1, pax, "ustar Interchange Format"), regular
 * files only, so that any tar opens a backup. Sizes from 8 GiB on are written as GNU tar does, in base 256.
 */

export const TAR_BLOCK = 512;
const NAME_BYTES = 100;
/** Twelve bytes hold eleven octal digits and a NUL. */
const MAX_OCTAL_SIZE = 0o77777777777;

export interface TarEntry {
  readonly name: string;
  readonly bytes: number;
}

export class TarFormatError extends Error {}

/** Zero bytes after a member of `bytes` bytes, to the next block. */
export function tarPadding(bytes: number): number {
  return (TAR_BLOCK - (bytes % TAR_BLOCK)) % TAR_BLOCK;
}

/** One header block; `mtimeS` is Unix time in seconds. */
export function tarHeader({ name, bytes }: TarEntry, mtimeS: number): Buffer {
  const block = Buffer.alloc(TAR_BLOCK);
  if (Buffer.byteLength(name) > NAME_BYTES) throw new TarFormatError(`the name ${name} is too long`);
  block.write(name, 0);
  writeOctal(block, 0o600, 100, 8);
  writeOctal(block, 0, 108, 8);
  writeOctal(block, 0, 116, 8);
  if (bytes <= MAX_OCTAL_SIZE) writeOctal(block, bytes, 124, 12);
  else {
    block.writeBigUInt64BE(BigInt(bytes), 128);
    block[124] = 0x80;
  }
  writeOctal(block, Math.floor(mtimeS), 136, 12);
  block.write('0', 156);
  block.write('ustar\0' + '00', 257);
  block.fill(' ', 148, 156);
  block.write(`${checksum(block).toString(8).padStart(6, '0')}\0 `, 148);
  return block;
}

/** What a header block announces; null for the zero block that ends an archive. Throws TarFormatError. */
export function readTarHeader(block: Buffer): TarEntry | null {
  if (block.every(byte => byte === 0)) return null;
  const stated = Number.parseInt(text(block, 148, 8).trim(), 8);
  const summed = Buffer.from(block);
  summed.fill(' ', 148, 156);
  if (stated !== checksum(summed)) throw new TarFormatError('a header does not have its checksum');
  const type = text(block, 156, 1);
  const name = text(block, 345, 155) === '' ? text(block, 0, NAME_BYTES) : '';
  if ((type !== '0' && type !== '') || name === '')
    throw new TarFormatError('it holds more than plain files');
  const binary = (block[124]! & 0x80) !== 0;
  const bytes = binary
    ? Number(block.readBigUInt64BE(128))
    : Number.parseInt(text(block, 124, 12).trim() || '0', 8);
  if (!Number.isSafeInteger(bytes) || bytes < 0) throw new TarFormatError('a header states no size');
  return { name, bytes };
}

function writeOctal(block: Buffer, value: number, at: number, bytes: number): void {
  block.write(`${value.toString(8).padStart(bytes - 1, '0')}\0`, at);
}

function text(block: Buffer, at: number, bytes: number): string {
  const field = block.subarray(at, at + bytes);
  const end = field.indexOf(0);
  return field.toString('utf8', 0, end < 0 ? bytes : end);
}

function checksum(block: Buffer): number {
  let sum = 0;
  for (const byte of block) sum += byte;
  return sum;
}

/**
 * Consistent Overhead Byte Stuffing (Cheshire & Baker, IEEE/ACM Transactions on Networking 7(2), 1999):
 * any bytes as bytes without 0x00, at most one byte in 254 longer. The 0x00 that ends a frame is not part of it.
 */
const LONGEST_RUN = 254;

/** `bytes` without a zero byte. */
export function cobsEncode(bytes: Uint8Array): Uint8Array {
  const out = new Uint8Array(bytes.length + Math.floor(bytes.length / LONGEST_RUN) + 1);
  let codeAt = 0;
  let at = 1;
  for (let i = 0; i < bytes.length; i++) {
    const byte = bytes[i]!;
    if (byte !== 0) out[at++] = byte;
    const runIsFull = at - codeAt === LONGEST_RUN + 1;
    if (byte === 0 || (runIsFull && i + 1 < bytes.length)) {
      out[codeAt] = at - codeAt;
      codeAt = at++;
    }
  }
  out[codeAt] = at - codeAt;
  return out.subarray(0, at);
}

/** The inverse; null when `coded` was not written by cobsEncode (a zero inside, a run past the end). */
export function cobsDecode(coded: Uint8Array): Uint8Array | null {
  if (coded.length === 0) return null;
  const out = new Uint8Array(coded.length);
  let at = 0;
  let i = 0;
  while (i < coded.length) {
    const code = coded[i++]!;
    if (code === 0) return null;
    const end = i + code - 1;
    if (end > coded.length) return null;
    while (i < end) {
      const byte = coded[i++]!;
      if (byte === 0) return null;
      out[at++] = byte;
    }
    if (code <= LONGEST_RUN && i < coded.length) out[at++] = 0;
  }
  return out.subarray(0, at);
}

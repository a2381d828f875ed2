/** RFC 4648 section 4 base64, for rooms where neither Buffer nor atob may be assumed. */
const ALPHABET = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';
const VALUE_OF = new Uint8Array(128).fill(255);
for (let i = 0; i < 64; i++) VALUE_OF[ALPHABET.charCodeAt(i)] = i;

export function toBase64(bytes: Uint8Array): string {
  let text = '';
  for (let i = 0; i < bytes.length; i += 3) {
    const left = bytes.length - i;
    const word = (bytes[i]! << 16) | ((bytes[i + 1] ?? 0) << 8) | (bytes[i + 2] ?? 0);
    text += ALPHABET[word >> 18];
    text += ALPHABET[(word >> 12) & 63];
    text += left > 1 ? ALPHABET[(word >> 6) & 63] : '=';
    text += left > 2 ? ALPHABET[word & 63] : '=';
  }
  return text;
}

/** Throws RangeError on text that is not canonical base64. */
export function fromBase64(text: string): Uint8Array {
  if (text.length % 4 !== 0) throw new RangeError('base64 text is cut short');
  const padding = text.endsWith('==') ? 2 : text.endsWith('=') ? 1 : 0;
  const bytes = new Uint8Array((text.length / 4) * 3 - padding);
  let at = 0;
  for (let i = 0; i < text.length; i += 4) {
    let word = 0;
    for (let j = 0; j < 4; j++) {
      const isPadding = i + j >= text.length - padding;
      const value = isPadding ? 0 : (VALUE_OF[text.charCodeAt(i + j)] ?? 255);
      if (value === 255) throw new RangeError(`base64 text has a foreign character at ${i + j}`);
      word = (word << 6) | value;
    }
    for (let shift = 16; shift >= 0 && at < bytes.length; shift -= 8) bytes[at++] = (word >> shift) & 255;
  }
  return bytes;
}

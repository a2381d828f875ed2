/** Bytes as lower-case hexadecimal, two digits a byte. */
export function toHex(bytes: Uint8Array): string {
  return Array.from(bytes, byte => byte.toString(16).padStart(2, '0')).join('');
}

/** The bytes of lower-case hexadecimal text; null for any other text. */
export function fromHex(text: string): Uint8Array | null {
  if (!/^(?:[0-9a-f]{2})*$/.test(text)) return null;
  return Uint8Array.from({ length: text.length / 2 }, (_, i) =>
    Number.parseInt(text.slice(2 * i, 2 * i + 2), 16),
  );
}

/**
 * COBS undone where the bytes lie, for frames short enough that no run reaches 254 bytes: then every code byte
 * but the first stands exactly where its zero belongs. Hot path: nothing is copied. The bytes are somebody
 * else's: redo() puts the codes back.
 */
import { MAX_BODY } from './binary-layout.ts';

export class InPlaceCobs {
  private readonly codes = new Uint8Array(MAX_BODY);

  /**
   * The content of bytes[from…end) is afterwards bytes[from + 1…end). Returns how many zeros were written, for
   * redo(); −1, nothing changed, if the codes lead past the end.
   */
  undo(bytes: Uint8Array, from: number, end: number): number {
    const { codes } = this;
    let count = 0;
    let at = from + bytes[from]!;
    while (at < end) {
      const code = bytes[at]!;
      bytes[at] = 0;
      codes[count++] = code;
      at += code;
    }
    if (at === end) return count;
    this.redo(bytes, from, count);
    return -1;
  }

  redo(bytes: Uint8Array, from: number, count: number): void {
    const { codes } = this;
    let at = from + bytes[from]!;
    for (let i = 0; i < count; i++) {
      const code = codes[i]!;
      bytes[at] = code;
      at += code;
    }
  }
}

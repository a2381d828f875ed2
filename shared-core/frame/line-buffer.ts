/** Collects the bytes of one line, ended by LF or CR, with a bound on what it keeps. */
const LF = 10;
const CR = 13;
const TAB = 9;

export class LineBuffer {
  /** True when a whole, not empty line is held. */
  complete = false;
  /** Bytes of the line, also those not kept. */
  seen = 0;
  tooLong = false;
  /** A byte that no line of printable ASCII (and tabs) has. */
  foreignByte = false;
  readonly bytes: Uint8Array;
  /** How many of `bytes` are of this line. */
  length = 0;

  constructor(longest: number) {
    this.bytes = new Uint8Array(longest);
  }

  /** Takes bytes up to the end of a line; returns where it stopped. Empty lines are passed over. */
  fill(input: Uint8Array, from: number): number {
    for (let i = from; i < input.length; i++) {
      const byte = input[i]!;
      if (byte === LF || byte === CR) {
        if (this.seen === 0) continue;
        this.complete = true;
        return i + 1;
      }
      this.seen++;
      if ((byte < 32 && byte !== TAB) || byte > 126) this.foreignByte = true;
      if (this.length < this.bytes.length) this.bytes[this.length++] = byte;
      else this.tooLong = true;
    }
    return input.length;
  }

  text(): string {
    return String.fromCharCode(...this.bytes.subarray(0, this.length));
  }

  clear(): void {
    this.complete = false;
    this.length = 0;
    this.seen = 0;
    this.tooLong = false;
    this.foreignByte = false;
  }
}

/** Pulls exact numbers of bytes out of a stream that comes in pieces of any size. */

export class EndOfBytesError extends Error {
  constructor() {
    super('it ends too early');
  }
}

export class ByteReader {
  private readonly pieces: AsyncIterator<Buffer>;
  private rest: Buffer = Buffer.alloc(0);

  constructor(stream: AsyncIterable<Buffer>) {
    this.pieces = stream[Symbol.asyncIterator]();
  }

  /** Throws EndOfBytesError when there are fewer. */
  async read(bytes: number): Promise<Buffer> {
    const parts: Buffer[] = [];
    for await (const part of this.take(bytes)) parts.push(part);
    return Buffer.concat(parts);
  }

  /** The next `bytes` bytes, piece by piece. Throws EndOfBytesError when there are fewer. */
  async *take(bytes: number): AsyncGenerator<Buffer> {
    for (let left = bytes; left > 0; ) {
      if (this.rest.length === 0 && !(await this.fill())) throw new EndOfBytesError();
      const part = this.rest.subarray(0, left);
      this.rest = this.rest.subarray(part.length);
      left -= part.length;
      yield part;
    }
  }

  /** Reads to the end, so that what guards the stream as a whole is checked; true when all of it was zeros. */
  async drain(): Promise<boolean> {
    let zeros = true;
    do {
      zeros &&= this.rest.every(byte => byte === 0);
      this.rest = Buffer.alloc(0);
    } while (await this.fill());
    return zeros;
  }

  private async fill(): Promise<boolean> {
    const { value, done } = await this.pieces.next();
    if (done) return false;
    this.rest = value;
    return true;
  }
}

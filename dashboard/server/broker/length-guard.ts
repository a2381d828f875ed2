/**
 * Watches MQTT packet lengths as bytes arrive and says when one claims more than allowed, so that the broker
 * never begins to buffer it. Fixed header: one byte of type, then the remaining length in 1 to 4 bytes of
 * 7 bits, least significant first (OASIS MQTT 3.1.1, section 2.2.3).
 */
export class LengthGuard {
  private readonly maxBytes: number;
  /** Bytes of the running packet's body still to come. */
  private bodyLeft = 0;
  private inLength = false;
  private length = 0;
  private scale = 1;

  constructor(maxBytes: number) {
    this.maxBytes = maxBytes;
  }

  /** False when a packet is longer than allowed or its length field is not one; the stream must end then. */
  accept(bytes: Uint8Array): boolean {
    for (let at = 0; at < bytes.length; ) {
      if (this.bodyLeft > 0) {
        const skipped = Math.min(this.bodyLeft, bytes.length - at);
        this.bodyLeft -= skipped;
        at += skipped;
        continue;
      }
      const byte = bytes[at++]!;
      if (!this.inLength) {
        this.inLength = true;
        this.length = 0;
        this.scale = 1;
        continue;
      }
      this.length += (byte & 0x7f) * this.scale;
      this.scale *= 128;
      if (this.length > this.maxBytes) return false;
      if (byte < 0x80) {
        this.bodyLeft = this.length;
        this.inLength = false;
      } else if (this.scale > 128 ** 3) return false;
    }
    return true;
  }
}

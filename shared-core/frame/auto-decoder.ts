/**
 * Text or binary, found out: both read until one of them has a frame with a right checksum, which the other
 * form cannot have by accident. From then on only that one reads; a new connection finds out anew.
 */
import { BinaryDecoder } from './binary-decoder.ts';
import type { FrameCounters } from './frame-counters.ts';
import type { DecoderOutput, FrameDecoder } from './frame-decoder.ts';
import { TextDecoder } from './text-decoder.ts';

export class AutoDecoder implements FrameDecoder {
  readonly ownTime = true;
  private readonly text = new TextDecoder();
  private readonly binary = new BinaryDecoder();
  /** The one that counts: text until something is known. */
  private chosen: FrameDecoder = this.text;
  private decided = false;

  get counters(): FrameCounters {
    return this.chosen.counters;
  }

  push(bytes: Uint8Array, arrivalUs: number): DecoderOutput[] {
    if (this.decided) return this.chosen.push(bytes, arrivalUs);
    for (const decoder of [this.text, this.binary]) {
      const before = decoder.counters.frames;
      const outputs = decoder.push(bytes, arrivalUs);
      if (decoder.counters.frames > before) {
        this.chosen = decoder;
        this.decided = true;
        return outputs;
      }
    }
    return [];
  }

  finish(): DecoderOutput[] {
    return this.chosen.finish();
  }

  reset(): void {
    this.text.reset();
    this.binary.reset();
    this.decided = false;
  }
}

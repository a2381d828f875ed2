/**
 * Bytes → decoder → timeline → handlers, the same for every source of bytes.
 */
import type { FrameCounters } from '#core/frame/frame-counters';
import type { FrameDecoder, SourceAnnouncement } from '#core/frame/frame-decoder';
import type { Timeline } from '#core/frame/timeline';
import type { SampleChunk } from '#core/sample/chunk';
import type { SourceHandlers } from './source.ts';

export class DecodedStream {
  private readonly decoder: FrameDecoder;
  private readonly timeline: Timeline;
  private readonly handlers: SourceHandlers;
  private frames = 0;
  /** Told of each set of counts: a decoder that finds out the form has one for each. */
  private readonly lost = new Map<FrameCounters, number>();

  constructor(decoder: FrameDecoder, timeline: Timeline, handlers: SourceHandlers) {
    this.decoder = decoder;
    this.timeline = timeline;
    this.handlers = handlers;
  }

  /** Arrivals do not say when a sample was taken. */
  get ownTime(): boolean {
    return this.decoder.ownTime;
  }

  /** A new connection: nothing before it belongs to what follows. */
  reconnect(): void {
    this.decoder.reset();
    this.timeline.reconnect();
  }

  /** The chunks of `bytes` (null: the input ends) in record time, other news told on the way. `onAnnounce` is called before the handler. */
  decode(
    bytes: Uint8Array | null,
    arrivalUs: number,
    onAnnounce: (announcement: SourceAnnouncement) => void,
  ): SampleChunk[] {
    const { handlers, timeline } = this;
    const chunks: SampleChunk[] = [];
    for (const output of bytes === null ? this.decoder.finish() : this.decoder.push(bytes, arrivalUs)) {
      switch (output.kind) {
        case 'announce':
          onAnnounce(output.announcement);
          handlers.onAnnounce?.(output.announcement);
          break;
        case 'restart':
          timeline.restart();
          handlers.onRestart?.(output.cause, arrivalUs);
          break;
        case 'samples':
          if (this.decoder.ownTime) this.place(output.chunk, arrivalUs);
          chunks.push(output.chunk);
          break;
      }
    }
    const { counters } = this.decoder;
    const told = this.lost.get(counters) ?? 0;
    if (counters.lostFrames > told) {
      handlers.onFramesLost?.(counters.lostFrames - told, arrivalUs);
      this.lost.set(counters, counters.lostFrames);
    }
    return chunks;
  }

  private place(chunk: SampleChunk, arrivalUs: number): void {
    const { handlers, timeline } = this;
    const news = timeline.place(chunk, arrivalUs);
    if (news === 'reanchored') handlers.onRestart?.(news, arrivalUs);
    else if (news === 'ranAhead') handlers.onAhead?.(timeline.aheadOfArrivalUs, arrivalUs);
  }

  /** True when whole frames came since the last call. */
  sawFrames(): boolean {
    const { frames } = this.decoder.counters;
    const came = frames > this.frames;
    this.frames = frames;
    return came;
  }

  get frameCounters(): FrameCounters {
    return this.decoder.counters;
  }

  counters(): Record<string, number> {
    return { ...this.decoder.counters, ...this.timeline.counters };
  }
}

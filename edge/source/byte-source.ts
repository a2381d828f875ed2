/** A device that sends frames over a link: serial port or TCP. */
import type { FrameDecoder } from '#core/frame/frame-decoder';
import { Timeline } from '#core/frame/timeline';
import { DecodedStream } from './decoded-stream.ts';
import type { Link } from './link.ts';
import { LinkRunner } from './link-runner.ts';
import { pauseUsOf } from './pause-us-of.ts';
import type { Source, SourceHandlers, SourceStateReport } from './source.ts';
import type { SourceClock } from './source-clock.ts';

/** Two of the longest frames: whoever sends frames has sent one in these. */
const ENOUGH_BYTES = 512;

export class ByteSource implements Source {
  private readonly clock: SourceClock;
  private readonly handlers: SourceHandlers;
  private readonly timeline: Timeline;
  private readonly stream: DecodedStream;
  private readonly runner: LinkRunner;
  private received = 0;
  private openings = 0;
  /** Nothing has come since the last collect(): someone will ask again. */
  private mayHold = false;

  constructor(link: Link, decoder: FrameDecoder, clock: SourceClock, handlers: SourceHandlers) {
    this.clock = clock;
    this.handlers = handlers;
    this.timeline = new Timeline(true, pauseUsOf(null), (clock.recordedUs ?? -1) + 1);
    this.stream = new DecodedStream(decoder, this.timeline, handlers);
    this.runner = new LinkRunner(link, clock, {
      onOpen: () => {
        if (this.openings++ > 0) this.stream.reconnect();
      },
      onBytes: bytes => this.take(bytes),
      onState: (report: SourceStateReport) => handlers.onState(report),
    });
  }

  start(): void {
    this.runner.start();
  }

  stop(): Promise<void> {
    return this.runner.stop();
  }

  /**
   * To wake up for a frame costs much more than to read it: while data flows, what follows waits for this. After a
   * silence the first bytes are read as they come, since a restart is placed by its arrival.
   */
  collect(): void {
    this.mayHold = true;
    this.runner.release();
  }

  counters(): Record<string, number> {
    return { ...this.stream.counters(), receivedBytes: this.received, openings: this.openings };
  }

  private take(bytes: Uint8Array): void {
    this.received += bytes.length;
    const arrivalUs = this.clock.nowUs();
    this.handlers.onBytes?.(bytes, arrivalUs);
    const chunks = this.stream.decode(bytes, arrivalUs, ({ samplePeriodUs }) => {
      this.runner.setSamplePeriod(samplePeriodUs);
      this.timeline.setPause(pauseUsOf(samplePeriodUs));
    });
    if (this.stream.sawFrames()) this.runner.sawFrames();
    this.runner.setHint(chunks.length === 0 ? this.hint() : null);
    if (chunks.length === 0) return;
    // First the state, so that nobody sees samples from a link that is not streaming.
    this.runner.sawSamples();
    for (const chunk of chunks) void this.handlers.onChunk(chunk);
    if (this.mayHold && this.stream.ownTime) this.runner.hold();
    this.mayHold = false;
  }

  /** What a person should know of bytes that bring no sample. */
  private hint(): string | null {
    const { frames, announcements, unknownVersion } = this.stream.frameCounters;
    if (announcements === 0 && unknownVersion > 0) {
      return 'it announces itself in a version of the frames that is not known here';
    }
    return frames === 0 && this.received >= ENOUGH_BYTES ? 'what comes is no frame of this format' : null;
  }
}

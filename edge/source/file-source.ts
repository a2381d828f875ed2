/**
 * A recording of the bytes as an ordinary source: as fast as the consumer takes it, or at the pace of its own
 * device time. Ends with the state `ended`; a file that cannot be read ends with the reason.
 */
import type { FrameDecoder } from '#core/frame/frame-decoder';
import { Timeline } from '#core/frame/timeline';
import type { SampleChunk } from '#core/sample/chunk';
import { recordedBlocks } from '../black-box/recorded-blocks.ts';
import { DecodedStream } from './decoded-stream.ts';
import { problemOf } from './link-problem.ts';
import { pauseUsOf } from './pause-us-of.ts';
import type { Source, SourceHandlers, SourceStateReport } from './source.ts';
import type { SourceClock } from './source-clock.ts';

const FAST_BLOCK = 65_536;
/** Small enough that a step of the replay is a moment: 22 ms of a line at 115200 baud. */
const REAL_BLOCK = 256;
export interface FileSourceOptions {
  readonly path: string;
  readonly pace: 'real' | 'fast';
}

export class FileSource implements Source {
  private readonly options: FileSourceOptions;
  private readonly clock: SourceClock;
  private readonly handlers: SourceHandlers;
  private readonly timeline = new Timeline(false, pauseUsOf(null));
  private readonly stream: DecodedStream;
  private running: Promise<void> | null = null;
  private stopped = false;
  private wake: (() => void) | null = null;
  private received = 0;
  private isStreaming = false;

  constructor(
    options: FileSourceOptions,
    decoder: FrameDecoder,
    clock: SourceClock,
    handlers: SourceHandlers,
  ) {
    this.options = options;
    this.clock = clock;
    this.handlers = handlers;
    this.stream = new DecodedStream(decoder, this.timeline, handlers);
  }

  start(): void {
    this.running ??= this.run();
  }

  async stop(): Promise<void> {
    this.stopped = true;
    this.wake?.();
    await this.running;
  }

  counters(): Record<string, number> {
    return { ...this.stream.counters(), receivedBytes: this.received };
  }

  private async run(): Promise<void> {
    const { path, pace } = this.options;
    this.report('opening', null, null);
    let unreadable: unknown = null;
    const input = recordedBlocks(path, pace === 'fast' ? FAST_BLOCK : REAL_BLOCK, error => {
      unreadable = error;
    });
    try {
      const startUs = this.clock.nowUs();
      let arrivalUs = startUs;
      for await (const { bytes, afterUs, reopened } of input) {
        if (this.stopped) break;
        if (reopened) this.stream.reconnect();
        arrivalUs = startUs + afterUs;
        this.received += bytes.length;
        this.handlers.onBytes?.(bytes, arrivalUs);
        await this.take(bytes, arrivalUs);
      }
      if (!this.stopped) await this.take(null, arrivalUs);
      this.report('ended', this.stopped ? null : `${path} is read to its end`, null);
    } catch (error) {
      // What a handler throws is not the file's fault.
      if (error !== unreadable) throw error;
      const { code, sentence } = problemOf(error, path);
      this.report('ended', sentence, code);
    }
  }

  private decode(bytes: Uint8Array | null, startUs: number): SampleChunk[] {
    return this.stream.decode(bytes, startUs, ({ samplePeriodUs }) =>
      this.timeline.setPause(pauseUsOf(samplePeriodUs)),
    );
  }

  private async take(bytes: Uint8Array | null, startUs: number): Promise<void> {
    for (const chunk of this.decode(bytes, startUs)) {
      if (this.options.pace === 'real') await this.until(endOf(chunk));
      if (this.stopped) return;
      if (!this.isStreaming) {
        this.isStreaming = true;
        this.report('streaming', null, null);
      }
      await this.handlers.onChunk(chunk);
    }
  }

  /** Until the record clock is there; the first sample is placed at the start of the replay. */
  private async until(tUs: number): Promise<void> {
    const delayMs = Math.floor((tUs - this.clock.nowUs()) / 1000);
    if (delayMs <= 0 || this.stopped) return;
    await new Promise<void>(resolve => {
      const cancel = this.clock.after(delayMs, resolve);
      this.wake = () => {
        cancel();
        resolve();
      };
    });
    this.wake = null;
  }

  private report(
    state: SourceStateReport['state'],
    detail: string | null,
    code: SourceStateReport['problem'],
  ): void {
    this.handlers.onState({ state, sinceUs: this.clock.nowUs(), detail, problem: code });
  }
}

function endOf({ n, tUs, lengthUs }: SampleChunk): number {
  return tUs[n - 1]! + (lengthUs?.[n - 1] ?? 0);
}

import type { StreamPace } from '#core/messages/stream-pace';
import { STREAM_PACES_MS } from '#core/messages/stream-paces';
import { SseParser } from './sse-parser.ts';
import { StreamLag } from './stream-lag.ts';

export type LinkState = 'connecting' | 'open' | 'down';

export interface StreamClientOptions {
  readonly url: string;
  readonly onEvent: (name: string, data: unknown) => void;
  readonly onLink: (state: LinkState) => void;
  /** Nobody is signed in: it stops, and is started again when somebody is. */
  readonly onSignedOut?: () => void;
  readonly fetch?: typeof globalThis.fetch;
  /** No byte at all for this long, comments included: the connection is taken for dead, ms. */
  readonly silentMs?: number;
  readonly retryMs?: readonly number[];
  readonly monotonicMs?: () => number;
}

/** The stream is begun anew: what is still on its way is too old to be shown. */
class TooLateError extends Error {}

/**
 * Reads /api/v1/stream over fetch, so that comment bytes count as a sign of life (EventSource hides
 * them) and a half-open connection is noticed. Reconnects for ever with Last-Event-ID. A stream that
 * runs more than 2 s late is cut and begun anew with fewer live values, for a slow line or a slow device.
 */
export class StreamClient {
  readonly #options: Required<StreamClientOptions>;
  #abort: AbortController | null = null;
  #stopped = true;
  #lastEventId = '';
  #failures = 0;
  #everyMs: number = STREAM_PACES_MS[0];
  #justWoke = false;
  #timer: ReturnType<typeof setTimeout> | undefined;

  constructor(options: StreamClientOptions) {
    this.#options = {
      fetch: globalThis.fetch.bind(globalThis),
      silentMs: 20_000,
      retryMs: [250, 500, 1000, 2000, 4000],
      monotonicMs: () => performance.now(),
      onSignedOut: () => {},
      ...options,
    };
  }

  start(): void {
    if (!this.#stopped) return;
    this.#stopped = false;
    this.#options.onLink('connecting');
    void this.#run();
  }

  stop(): void {
    this.#stopped = true;
    clearTimeout(this.#timer);
    this.#abort?.abort();
  }

  #signedOut(): void {
    this.stop();
    this.#options.onLink('down');
    this.#options.onSignedOut();
  }

  /** The page was hidden until now: what then comes late says nothing of the line. */
  woke(): void {
    this.#justWoke = true;
  }

  async #run(): Promise<void> {
    const abort = new AbortController();
    this.#abort = abort;
    let again = false;
    try {
      await this.#read(abort);
    } catch (error) {
      // Refused, cut, aborted by the watchdog: all end in the same retry, and the link says so on screen.
      again = error instanceof TooLateError;
    } finally {
      abort.abort();
    }
    if (this.#stopped) return;
    this.#options.onLink('down');
    const { retryMs } = this.#options;
    const wait = again ? 0 : (retryMs[Math.min(this.#failures, retryMs.length - 1)] ?? 1000);
    this.#failures++;
    this.#timer = setTimeout(() => void this.#run(), wait);
  }

  async #read(abort: AbortController): Promise<void> {
    const { fetch, silentMs, onLink } = this.#options;
    const headers: Record<string, string> = { Accept: 'text/event-stream' };
    if (this.#lastEventId !== '') headers['Last-Event-ID'] = this.#lastEventId;
    let watchdog = setTimeout(() => abort.abort(), silentMs);
    try {
      const response = await fetch(this.#url(), { headers, signal: abort.signal, cache: 'no-store' });
      if (response.status === 401) this.#signedOut();
      if (!response.ok || response.body === null) throw new Error(`HTTP ${response.status}`);
      const reader = response.body.pipeThrough(new TextDecoderStream()).getReader();
      const parser = new SseParser();
      const lag = new StreamLag();
      let opened = false;
      for (;;) {
        const { done, value } = await reader.read();
        if (done || this.#stopped) return;
        clearTimeout(watchdog);
        watchdog = setTimeout(() => abort.abort(), silentMs);
        if (!opened) {
          opened = true;
          this.#failures = 0;
          onLink('open');
        }
        for (const event of parser.push(value)) {
          this.#dispatch(event.name, event.data, lag);
          if (event.id !== '') this.#lastEventId = event.id;
        }
      }
    } finally {
      clearTimeout(watchdog);
    }
  }

  /** Asked for only where the line or the device has shown to be too slow for the usual pace. */
  #url(): string {
    const { url } = this.#options;
    return this.#everyMs === STREAM_PACES_MS[0] ? url : `${url}?every_ms=${this.#everyMs}`;
  }

  #dispatch(name: string, text: string, lag: StreamLag): void {
    let data: unknown;
    try {
      data = JSON.parse(text);
    } catch {
      return; // An unreadable event is no event: staleness, not a guess, is what the screen then shows.
    }
    if (name === 'pace') this.#keepPace(data as StreamPace, lag);
    if (name === 'live' && lag.late) return;
    this.#options.onEvent(name, data);
  }

  #keepPace({ everyMs, sentMs }: StreamPace, lag: StreamLag): void {
    lag.heard(sentMs, this.#options.monotonicMs());
    if (lag.hopeless) {
      if (!this.#justWoke) this.#everyMs = STREAM_PACES_MS.find(ms => ms > everyMs) ?? everyMs;
      throw new TooLateError();
    }
    if (lag.late) return;
    this.#everyMs = everyMs;
    this.#justWoke = false;
  }
}

import { SseParser } from './sse-parser.ts';

export type LinkState = 'connecting' | 'open' | 'down';

export interface StreamClientOptions {
  readonly url: string;
  readonly onEvent: (name: string, data: unknown) => void;
  readonly onLink: (state: LinkState) => void;
  readonly fetch?: typeof globalThis.fetch;
  /** No byte at all for this long, comments included: the connection is taken for dead, ms. */
  readonly silentMs?: number;
  readonly retryMs?: readonly number[];
}

/**
 * Reads /api/v1/stream over fetch, so that comment bytes count as a sign of life (EventSource hides
 * them) and a half-open connection is noticed. Reconnects for ever with Last-Event-ID.
 */
export class StreamClient {
  readonly #options: Required<StreamClientOptions>;
  #abort: AbortController | null = null;
  #stopped = true;
  #lastEventId = '';
  #failures = 0;
  #timer: ReturnType<typeof setTimeout> | undefined;

  constructor(options: StreamClientOptions) {
    this.#options = {
      fetch: globalThis.fetch.bind(globalThis),
      silentMs: 20_000,
      retryMs: [250, 500, 1000, 2000, 4000],
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

  async #run(): Promise<void> {
    const abort = new AbortController();
    this.#abort = abort;
    try {
      await this.#read(abort);
    } catch {
      // Refused, cut, aborted by the watchdog: all end in the same retry, and the link says so on screen.
    }
    if (this.#stopped) return;
    this.#options.onLink('down');
    const { retryMs } = this.#options;
    const wait = retryMs[Math.min(this.#failures, retryMs.length - 1)] ?? 1000;
    this.#failures++;
    this.#timer = setTimeout(() => void this.#run(), wait);
  }

  async #read(abort: AbortController): Promise<void> {
    const headers: Record<string, string> = { Accept: 'text/event-stream' };
    if (this.#lastEventId !== '') headers['Last-Event-ID'] = this.#lastEventId;
    let watchdog = setTimeout(() => abort.abort(), this.#options.silentMs);
    try {
      const response = await this.#options.fetch(this.#options.url, {
        headers,
        signal: abort.signal,
        cache: 'no-store',
      });
      if (!response.ok || response.body === null) throw new Error(`HTTP ${response.status}`);
      const reader = response.body.pipeThrough(new TextDecoderStream()).getReader();
      const parser = new SseParser();
      let opened = false;
      for (;;) {
        const { done, value } = await reader.read();
        if (done || this.#stopped) return;
        clearTimeout(watchdog);
        watchdog = setTimeout(() => abort.abort(), this.#options.silentMs);
        if (!opened) {
          opened = true;
          this.#failures = 0;
          this.#options.onLink('open');
        }
        for (const event of parser.push(value)) this.#dispatch(event.name, event.data);
        if (parser.lastEventId !== '') this.#lastEventId = parser.lastEventId;
      }
    } finally {
      clearTimeout(watchdog);
    }
  }

  #dispatch(name: string, text: string): void {
    let data: unknown;
    try {
      data = JSON.parse(text);
    } catch {
      return; // An unreadable event is no event: staleness, not a guess, is what the screen then shows.
    }
    this.#options.onEvent(name, data);
  }
}

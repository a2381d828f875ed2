/** One dispatched event of a Server-Sent Events stream (WHATWG HTML, section 9.2.6). */
export interface SseEvent {
  readonly name: string;
  readonly data: string;
  readonly id: string;
}

/**
 * Text in any chunking → events, in order. Comment lines and unknown fields are skipped;
 * an event cut off by the end of the stream is never dispatched.
 */
export class SseParser {
  #rest = '';
  #name = '';
  #data: string[] = [];
  #id = '';
  #afterCr = false;

  /** The last id seen, to be sent as Last-Event-ID on the next connection. */
  get lastEventId(): string {
    return this.#id;
  }

  push(text: string): SseEvent[] {
    const events: SseEvent[] = [];
    let start = 0;
    const whole = this.#rest + text;
    for (let i = this.#rest.length; i < whole.length; i++) {
      const char = whole[i];
      if (char === '\n' && this.#afterCr) {
        this.#afterCr = false;
        start = i + 1;
        continue;
      }
      this.#afterCr = char === '\r';
      if (char !== '\n' && char !== '\r') continue;
      this.#line(whole.slice(start, i), events);
      start = i + 1;
    }
    this.#rest = whole.slice(start);
    return events;
  }

  #line(line: string, events: SseEvent[]): void {
    if (line === '') {
      if (this.#data.length > 0) {
        events.push({ name: this.#name || 'message', data: this.#data.join('\n'), id: this.#id });
      }
      this.#name = '';
      this.#data = [];
      return;
    }
    const colon = line.indexOf(':');
    if (colon === 0) return;
    const field = (colon < 0 ? line : line.slice(0, colon)).replace(/^\uFEFF/, '');
    const raw = colon < 0 ? '' : line.slice(colon + 1);
    const value = raw.startsWith(' ') ? raw.slice(1) : raw;
    if (field === 'event') this.#name = value;
    else if (field === 'data') this.#data.push(value);
    else if (field === 'id' && !value.includes('\0')) this.#id = value;
  }
}

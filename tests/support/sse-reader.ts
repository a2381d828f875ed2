import { onTestFinished } from 'vitest';
import { type StreamEvent, type StreamEventName, streamEvents } from '#core/messages/api';

/** One message of the stream, in the shape of its event. */
export type SseFrame = {
  [K in StreamEventName]: { readonly id: string | null; readonly event: K; readonly data: StreamEvent<K> };
}[StreamEventName];

export interface SseReader {
  readonly frames: SseFrame[];
  /** Those of one event, oldest first. */
  readonly of: <K extends StreamEventName>(event: K) => Extract<SseFrame, { event: K }>[];
  readonly close: () => void;
}

/** Reads Server-Sent Events as WHATWG HTML, section 9.2.6 (parsing an event stream) says, for what our server sends. */
export async function readEvents(url: string, lastEventId: string | null = null): Promise<SseReader> {
  const abort = new AbortController();
  onTestFinished(() => abort.abort());
  const response = await fetch(url, {
    headers: lastEventId === null ? {} : { 'last-event-id': lastEventId },
    signal: abort.signal,
  });
  if (response.headers.get('content-type') !== 'text/event-stream' || !response.body) {
    throw new Error(`not an event stream: ${response.status}`);
  }
  const frames: SseFrame[] = [];
  const read = async (body: ReadableStream<Uint8Array>): Promise<void> => {
    const decoder = new TextDecoder();
    let text = '';
    for await (const chunk of body) {
      text += decoder.decode(chunk, { stream: true });
      const blocks = text.split('\n\n');
      text = blocks.pop() ?? '';
      for (const block of blocks) {
        const fields = new Map(
          block.split('\n').map(line => {
            const [name = '', ...rest] = line.split(': ');
            return [name, rest.join(': ')];
          }),
        );
        const event = fields.get('event');
        if (event === undefined) continue;
        const name = event as StreamEventName;
        const data = streamEvents[name].parse(JSON.parse(fields.get('data') ?? 'null'));
        frames.push({ id: fields.get('id') ?? null, event: name, data } as SseFrame);
      }
    }
  };
  // Closing it is how reading ends.
  read(response.body).catch((error: unknown) => {
    if (!abort.signal.aborted) throw error;
  });
  const of: SseReader['of'] = event =>
    frames.filter((frame): frame is Extract<SseFrame, { event: typeof event }> => frame.event === event);
  return { frames, of, close: () => abort.abort() };
}

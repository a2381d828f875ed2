import { describe, expect, it, onTestFinished, vi } from 'vitest';
import { type LinkState, StreamClient } from '../../../dashboard/web/data/stream-client.ts';
import { StreamLag } from '../../../dashboard/web/data/stream-lag.ts';

describe('how late a stream is', () => {
  it('does not depend on where the two clocks begin, nor on a slow drift between them', () => {
    const lag = new StreamLag();
    // 50 parts in a million, as quartz may be off, for a day: 4.3 s.
    for (let s = 0; s < 86_400; s++) {
      lag.heard(s * 1000, 7_000_000 + s * 1000.05);
      expect(lag.late).toBe(false);
    }
  });

  it('is told once it is more than two seconds', () => {
    const lag = new StreamLag();
    lag.heard(1000, 5000);
    lag.heard(2000, 7900);
    expect([lag.late, lag.hopeless]).toEqual([false, false]);
    lag.heard(3000, 9100);
    expect([lag.late, lag.hopeless]).toEqual([true, true]);
  });

  it('may be so while the first picture is on its way, but what comes late is not of now', () => {
    const lag = new StreamLag();
    lag.heard(1000, 5000);
    lag.heard(2000, 10_000);
    expect([lag.late, lag.hopeless]).toEqual([true, false]);
    lag.heard(3000, 37_000);
    expect([lag.late, lag.hopeless]).toEqual([true, true]);
  });
});

/** A server whose answers are written by the test. */
function setUp() {
  const state = { nowMs: 0 };
  const asked: { url: string; lastEventId: string | null; aborted: () => boolean }[] = [];
  const streams: ReadableStreamDefaultController<Uint8Array>[] = [];
  const links: LinkState[] = [];
  const events: [string, unknown][] = [];
  const client = new StreamClient({
    url: '/api/v1/stream',
    monotonicMs: () => state.nowMs,
    retryMs: [0],
    onLink: link => links.push(link),
    onEvent: (name, data) => events.push([name, data]),
    fetch: async (url, init) => {
      const { signal, headers } = init!;
      asked.push({
        url: String(url),
        lastEventId: new Headers(headers).get('last-event-id'),
        aborted: () => signal!.aborted,
      });
      return new Response(
        new ReadableStream({
          start(controller) {
            streams.push(controller);
            signal!.addEventListener('abort', () => controller.error(signal!.reason));
          },
        }),
      );
    },
  });
  onTestFinished(() => client.stop());
  client.start();
  const connection = (n: number) => vi.waitUntil(() => streams[n - 1]);
  const textOf = (name: string, data: unknown, id = ''): string =>
    `${id === '' ? '' : `id: ${id}\n`}event: ${name}\ndata: ${JSON.stringify(data)}\n\n`;
  const write = async (n: number, text: string): Promise<void> =>
    (await connection(n)).enqueue(new TextEncoder().encode(text));
  const send = (n: number, ...event: Parameters<typeof textOf>) => write(n, textOf(...event));
  const heard = (name: string) => vi.waitUntil(() => events.some(([one]) => one === name));
  return { client, state, asked, links, events, connection, textOf, write, send, heard };
}

describe('the stream of a screen', () => {
  it('goes on after the last announcement, at the usual pace', async () => {
    const { asked, send, connection, heard } = setUp();
    await send(1, 'event', { n: 1 }, 'run1-7');
    await send(1, 'live', {});
    await heard('live');
    (await connection(1)).close();
    await connection(2);
    expect(asked).toMatchObject([
      { url: '/api/v1/stream', lastEventId: null },
      { url: '/api/v1/stream', lastEventId: 'run1-7' },
    ]);
    (await connection(2)).close();
    await connection(3);
    expect(asked[2]).toMatchObject({ lastEventId: 'run1-7' });
  });

  it('is begun anew with fewer live values when it comes late, so that nothing old is shown as live', async () => {
    const { state, asked, links, events, textOf, write, send, connection, heard } = setUp();
    await send(1, 'pace', { everyMs: 100, sentMs: 1000 });
    await send(1, 'pace', { everyMs: 100, sentMs: 2000 });
    await send(1, 'rigs', {});
    await heard('rigs');
    state.nowMs = 4000;
    await write(1, textOf('pace', { everyMs: 100, sentMs: 3000 }) + textOf('live', { old: true }));
    await connection(2);
    expect(asked[0]!.aborted()).toBe(true);
    expect(asked[1]!.url).toBe('/api/v1/stream?every_ms=300');
    expect(links).toContain('down');
    expect(events).not.toContainEqual(['live', { old: true }]);
    await send(2, 'pace', { everyMs: 300, sentMs: 10_000 });
    await send(2, 'pace', { everyMs: 300, sentMs: 10_500 });
    await send(2, 'live', { old: false });
    await heard('live');
    expect(links.at(-1)).toBe('open');
    // The server has made it quick again: so is the next connection.
    await send(2, 'pace', { everyMs: 100, sentMs: 10_600 });
    await send(2, 'entry', {});
    await heard('entry');
    (await connection(2)).close();
    await connection(3);
    expect(asked[2]!.url).toBe('/api/v1/stream');
  });

  it('that is late because the page slept is begun anew at its pace', async () => {
    const { client, state, asked, send, connection, heard } = setUp();
    await send(1, 'pace', { everyMs: 100, sentMs: 1000 });
    await send(1, 'pace', { everyMs: 100, sentMs: 2000 });
    await send(1, 'rigs', {});
    await heard('rigs');
    state.nowMs = 600_000;
    client.woke();
    await send(1, 'pace', { everyMs: 100, sentMs: 3000 });
    await connection(2);
    expect(asked[1]!.url).toBe('/api/v1/stream');
  });
});

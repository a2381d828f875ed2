import { createServer, get, type IncomingMessage, type ServerResponse } from 'node:http';
import { afterEach, beforeEach, describe, expect, it, onTestFinished, vi } from 'vitest';
import type { StreamEvent } from '#core/messages/api';
import { Announcements } from '../../dashboard/server/live/announcements.ts';
import { StreamHub } from '../../dashboard/server/live/stream-hub.ts';
import { SseParser } from '../../dashboard/web/data/sse-parser.ts';
import { recordedEvents } from '../support/recorded-events.ts';
import { START_MS, testEvent, testLive } from '../support/test-records.ts';

const SITE = 'spread-1';
const RIGS = Array.from({ length: 16 }, (_, i) => `rig-${i + 1}`);
const TICK_MS = 100;
/** What may wait for one screen: the fill at which nothing more is put in, and one frame of sixteen rigs. */
const MOST_WAITING = 65_536 + 32_768;

/** A screen on a real socket. */
class Screen {
  readonly frames: { name: string; id: string; data: unknown }[] = [];
  closed = false;
  private readonly parser = new SseParser();
  private readonly response: IncomingMessage;

  constructor(response: IncomingMessage, reads: boolean) {
    this.response = response.setEncoding('utf8');
    response.on('error', () => {});
    response.on('close', () => {
      this.closed = true;
    });
    if (reads) this.read();
  }

  /** Until then nothing is taken out of the socket. */
  read(): void {
    this.response.on('data', (text: string) => {
      for (const { name, id, data } of this.parser.push(text))
        this.frames.push({ name, id, data: JSON.parse(data) });
    });
  }

  of<K extends 'live' | 'pace' | 'event'>(name: K): StreamEvent<K>[] {
    return this.frames.filter(frame => frame.name === name).map(({ data }) => data as StreamEvent<K>);
  }

  get lastId(): string {
    return this.parser.lastEventId;
  }
}

async function setUp() {
  const announcements = new Announcements('run1');
  const { report, counts } = recordedEvents();
  const responses: ServerResponse[] = [];
  const now = () => new Date(START_MS);
  const hub = new StreamHub({ announcements, maxClients: 60, report, now, rigs: () => [] });
  const server = createServer((request, response) => {
    responses.push(response);
    hub.add(response, (request.headers['last-event-id'] as string | undefined) ?? null);
  });
  await new Promise<void>(resolve => server.listen(0, '127.0.0.1', resolve));
  const { port } = server.address() as { port: number };
  onTestFinished(() => {
    hub.stop();
    server.closeAllConnections();
    server.close();
  });
  const open = (reads: boolean, lastId = ''): Promise<Screen> =>
    new Promise((resolve, reject) => {
      const headers = lastId === '' ? {} : { 'last-event-id': lastId };
      get({ port, host: '127.0.0.1', headers, agent: false }, response =>
        resolve(new Screen(response, reads)),
      ).on('error', reject);
    });
  /** Lets sockets move until `done`. */
  const until = async (done: () => boolean, what: string): Promise<void> => {
    for (let turns = 0; !done(); turns++) {
      if (turns > 100_000) throw new Error(`waited in vain for ${what}`);
      await new Promise(resolve => setImmediate(resolve));
    }
  };
  let ticks = 0;
  let told = 0;
  /** One tick with something new of every rig; now and then an event. */
  const tick = async (readers: readonly Screen[]): Promise<void> => {
    ticks++;
    for (const rig of RIGS) {
      const live = testLive(ticks * TICK_MS * 1000, ticks);
      // As long as an edge's own sentence may be, so that the sockets of who does not read fill soon.
      hub.live(
        { site: SITE, rig },
        { ...live, source: { ...live.source, detail: 'a sentence of the edge '.repeat(12) } },
      );
    }
    if (ticks % 5 === 0) {
      told++;
      const event = { site: SITE, rig: 'rig-1', event: testEvent(told) };
      hub.announce(announcements.tell('event', `e${told}`, event)!);
      // As between two timers of a real clock, what was written goes to the sockets.
      await new Promise(resolve => setImmediate(resolve));
    }
    vi.advanceTimersByTime(TICK_MS);
    await until(
      () => readers.every(screen => screen.of('live').at(-1)?.rigs[0]?.live.values.weldingCurrent === ticks),
      `the values of tick ${ticks} at every screen that reads`,
    );
  };
  return { hub, counts, responses, open, tick, until, ticks: () => ticks, told: () => told };
}

const allEvents = (n: number) => Array.from({ length: n }, (_, i) => testEvent(i + 1).id);
const idsOf = (screen: Screen) => screen.of('event').map(({ event }) => event.id);

beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setInterval', 'clearInterval'] });
});
afterEach(() => {
  vi.useRealTimers();
});

describe('fifty screens on real sockets, sixteen rigs', () => {
  it('every one that reads gets every tick and every event once, though four stop reading', async () => {
    const { hub, counts, responses, open, tick, until, ticks, told } = await setUp();
    const reading = await Promise.all(Array.from({ length: 46 }, () => open(true)));
    const stuck = await Promise.all(Array.from({ length: 4 }, () => open(false)));
    expect(hub.readerCount).toBe(50);
    let mostWaiting = 0;
    let mostThinned = 0;
    for (let n = 0; hub.readerCount === 50 && n < 1500; n++) {
      await tick(reading);
      mostWaiting = Math.max(mostWaiting, ...responses.map(({ writableLength }) => writableLength));
      mostThinned = Math.max(mostThinned, hub.thinnedCount);
    }
    for (let n = 0; hub.readerCount > 46 && n < 100; n++) await tick(reading);

    // Those that read nothing were thinned, then let go, and never more than a bounded part waited for one of them.
    expect(mostThinned).toBe(4);
    expect(counts).toEqual({ streamClientThinned: 8, streamClientDropped: 4 });
    expect(mostWaiting).toBeGreaterThan(0);
    expect(mostWaiting).toBeLessThan(MOST_WAITING);
    expect(hub.readerCount).toBe(46);

    // The others noticed nothing: every tick, in order, never thinned, every event once.
    const everyTick = Array.from({ length: ticks() }, (_, i) => i + 1);
    for (const screen of reading) {
      const frames = screen.of('live');
      expect(frames.map(({ rigs }) => rigs[0]?.live.values.weldingCurrent)).toEqual(everyTick);
      expect(frames.some(({ thinned, rigs }) => thinned || rigs.length !== 16)).toBe(false);
      expect(new Set(screen.of('pace').map(({ everyMs }) => everyMs))).toEqual(new Set([100]));
      expect(idsOf(screen)).toEqual(allEvents(told()));
    }

    // What had reached the sockets of the four, and the rest after coming back, is every event once, in order.
    for (const screen of stuck) {
      screen.read();
      await until(() => screen.closed, 'the end of a screen that was let go');
      const again = await open(true, screen.lastId);
      await until(() => idsOf(screen).length + idsOf(again).length >= told(), 'the events it had missed');
      expect([...idsOf(screen), ...idsOf(again)]).toEqual(allEvents(told()));
    }
  });

  it('one that reads again in time is told that it is thinned, and has the newest values', async () => {
    const { hub, open, tick, until, ticks, told } = await setUp();
    const quick = await open(true);
    const slow = await open(false);
    for (let n = 0; hub.thinnedCount === 0 && n < 1500; n++) await tick([quick]);
    for (let n = 0; n < 30; n++) await tick([quick]);
    expect(hub.thinnedCount).toBe(1);
    slow.read();
    await until(() => idsOf(slow).length > 0 && hub.waitingBytes === 0, 'its buffer to be empty');
    for (let n = 0; n < 10; n++) await tick([quick]);
    await until(() => slow.of('pace').at(-1)?.everyMs === 1000, 'its being told');
    for (let n = 0; n < 10; n++) await tick([quick]);
    await until(() => idsOf(slow).length === told(), 'every event at the slow screen');
    const shown = slow.of('live').map(({ rigs }) => rigs[0]!.live.values.weldingCurrent!);
    expect(shown).toEqual([...new Set(shown)].sort((a, b) => a - b));
    expect(shown.length).toBeLessThan(ticks() - 30);
    expect(ticks() - shown.at(-1)!).toBeLessThanOrEqual(10);
    expect(slow.of('live').at(-1)).toMatchObject({ thinned: true });
    expect(idsOf(slow)).toEqual(allEvents(told()));
    expect(quick.of('live').some(({ thinned }) => thinned)).toBe(false);
  });
});

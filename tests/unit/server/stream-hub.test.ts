import { EventEmitter } from 'node:events';
import type { ServerResponse } from 'node:http';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { Rig } from '#core/messages/api';
import { type StreamEventName, streamEvents } from '#core/messages/api';
import type { AlarmPicture } from '#core/messages/api-alarm';
import { Announcements } from '../../../dashboard/server/live/announcements.ts';
import { StreamHub } from '../../../dashboard/server/live/stream-hub.ts';
import { recordedEvents } from '../../support/recorded-events.ts';
import { START_MS, testEvent, testLive } from '../../support/test-records.ts';

/** A reader's end of the wire: what was written, and how much of it waits. */
class Reader extends EventEmitter {
  text = '';
  writableLength = 0;
  destroyed = false;
  write(text: string | Buffer): boolean {
    this.text += String(text);
    return true;
  }
  writeHead(): void {}
  end(): void {
    this.emit('close');
  }
  destroy(): void {
    this.destroyed = true;
    this.emit('close');
  }
  /** Checked against the schemas of the stream. */
  take(): { name: string; id: string | null; data: unknown }[] {
    const frames = this.text.split('\n\n').filter(frame => frame.includes('event: '));
    this.text = '';
    return frames.map(frame => {
      const name = /^event: (.*)$/m.exec(frame)![1]! as StreamEventName;
      const data = streamEvents[name].parse(JSON.parse(/^data: (.*)$/m.exec(frame)![1]!));
      return { name, id: /^id: (.*)$/m.exec(frame)?.[1] ?? null, data };
    });
  }
}

const RIG: Rig = {
  site: 'spread-1',
  rig: 'rig-a',
  place: 0,
  info: null,
  status: null,
  health: null,
  live: null,
  alarms: null,
  assignment: null,
};
const A = { site: 'spread-1', rig: 'rig-a' };
const B = { site: 'spread-1', rig: 'rig-b' };

function setUp(maxClients = 10) {
  const announcements = new Announcements('run1');
  const { report, counts } = recordedEvents();
  const hub = new StreamHub({
    announcements,
    maxClients,
    report,
    now: () => new Date(START_MS),
    rigs: () => [RIG],
  });
  const join = (lastEventId: string | null = null, everyMs?: number) => {
    const reader = new Reader();
    const accepted = hub.add(reader as unknown as ServerResponse, lastEventId, everyMs);
    return { reader, accepted };
  };
  const tell = (n: number) =>
    hub.announce(announcements.tell('event', `e${n}`, { ...A, event: testEvent(n) })!);
  return { hub, announcements, counts, join, tell };
}

const alarmsNow = (newest: number): AlarmPicture => ({
  serverUtc: new Date(START_MS).toISOString(),
  newest,
  alarms: [],
  folds: [],
  budget: {
    last10Min: 0,
    lastHour: 0,
    state: 'within',
    perHour: 6,
    ceilingPerHour: 12,
    floodAbovePer10Min: 10,
  },
  away: [],
});

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

describe('StreamHub', () => {
  it('gives the whole picture first', () => {
    const { join } = setUp();
    const frames = join().reader.take();
    expect(frames.map(frame => frame.name)).toEqual(['pace', 'rigs']);
    expect(frames[0]?.data).toMatchObject({ everyMs: 100 });
    expect(frames[1]?.data).toMatchObject({ rigs: [RIG] });
  });

  it('sends one live frame a tick with the newest of each rig', () => {
    const { hub, join } = setUp();
    const { reader } = join();
    reader.take();
    for (let i = 1; i <= 5; i++) hub.live(A, testLive(i * 1000, i));
    hub.live(B, testLive(7000, 7));
    vi.advanceTimersByTime(100);
    const [frame, ...more] = reader.take();
    expect(more).toEqual([]);
    expect(frame?.data).toMatchObject({
      thinned: false,
      rigs: [
        { rig: 'rig-a', live: { values: { weldingCurrent: 5 } } },
        { rig: 'rig-b', live: { values: { weldingCurrent: 7 } } },
      ],
    });
    vi.advanceTimersByTime(800);
    expect(reader.take()).toEqual([]);
    vi.advanceTimersByTime(1000);
    expect(reader.take().map(({ name }) => name)).toEqual(['pace']);
  });

  it('passes a slow reader over and then gives it the newest of all it missed, saying so', () => {
    const { hub, join, counts } = setUp();
    const slow = join().reader;
    const quick = join().reader;
    slow.take();
    quick.take();
    slow.writableLength = 100_000;
    hub.live(A, testLive(1000, 1));
    vi.advanceTimersByTime(100);
    hub.live(B, testLive(2000, 2));
    hub.rig({ ...RIG, place: 3 });
    vi.advanceTimersByTime(100);
    expect(slow.take()).toEqual([]);
    expect(quick.take()).toHaveLength(3);
    slow.writableLength = 0;
    vi.advanceTimersByTime(100);
    const frames = slow.take();
    expect(frames.map(frame => frame.name)).toEqual(['rig', 'live']);
    expect(frames[1]?.data).toMatchObject({ thinned: true, rigs: [{ rig: 'rig-a' }, { rig: 'rig-b' }] });
    expect(quick.take()).toEqual([]);
    expect(counts).toEqual({});
  });

  it('gives alarms after the picture, at once when they change, and the newest to a reader that was slow', () => {
    const { hub, join } = setUp();
    const quick = join().reader;
    const slow = join().reader;
    quick.take();
    slow.take();
    slow.writableLength = 100_000;
    for (const newest of [1, 2]) {
      hub.alarms(alarmsNow(newest));
      expect(quick.take().map(({ data }) => data)).toEqual([alarmsNow(newest)]);
    }
    vi.advanceTimersByTime(100);
    expect(slow.take()).toEqual([]);
    slow.writableLength = 0;
    vi.advanceTimersByTime(100);
    expect(slow.take()).toMatchObject([{ name: 'alarms', data: { newest: 2 } }]);
    expect(quick.take()).toEqual([]);
    expect(
      join()
        .reader.take()
        .map(({ name }) => name),
    ).toEqual(['pace', 'rigs', 'alarms']);
  });

  it('resumes events after the last id', () => {
    const { join, tell } = setUp();
    const first = join().reader;
    first.take();
    tell(1);
    tell(2);
    const ids = first.take().map(frame => frame.id);
    expect(ids).toEqual(['run1-1', 'run1-2']);
    const frames = join('run1-1').reader.take();
    expect(frames.map(frame => [frame.name, frame.id])).toEqual([
      ['pace', null],
      ['rigs', null],
      ['event', 'run1-2'],
    ]);
  });

  it('gives live values less often to a reader that stays behind, says so, and goes back when it keeps up', () => {
    const { hub, join, counts } = setUp();
    const slow = join().reader;
    const quick = join().reader;
    slow.writableLength = 100;
    const second = (): void => {
      for (let tick = 0; tick < 10; tick++) {
        hub.live(A, testLive(vi.getMockedSystemTime()!.valueOf(), tick));
        vi.advanceTimersByTime(100);
      }
    };
    second();
    second();
    expect(counts).toEqual({ streamClientThinned: 2 });
    expect(hub.thinnedCount).toBe(1);
    slow.take();
    quick.take();
    slow.writableLength = 0;
    second();
    expect(slow.take()).toMatchObject([
      { name: 'pace', data: { everyMs: 1000 } },
      { name: 'live', data: { thinned: true, rigs: [{ rig: 'rig-a' }] } },
    ]);
    expect(quick.take().filter(({ name }) => name === 'live')).toHaveLength(10);
    for (let s = 0; s < 300; s++) vi.advanceTimersByTime(1000);
    slow.take();
    second();
    expect(slow.take().filter(({ name }) => name === 'live')).toHaveLength(10);
    expect(hub.thinnedCount).toBe(0);
  });

  it('begins at the pace a reader asks for', () => {
    const { hub, join } = setUp();
    const { reader } = join(null, 700);
    expect(reader.take()[0]).toMatchObject({ name: 'pace', data: { everyMs: 1000 } });
    for (let tick = 0; tick < 20; tick++) {
      hub.live(A, testLive(1000 + tick, tick));
      vi.advanceTimersByTime(100);
    }
    expect(reader.take().filter(({ name }) => name === 'live')).toHaveLength(2);
  });

  it('puts no more into a full buffer, and then goes on with every announcement in order', () => {
    const { join, tell } = setUp();
    const { reader } = join();
    reader.take();
    tell(1);
    reader.writableLength = 100_000;
    for (let n = 2; n <= 900; n++) tell(n);
    const before = reader.take();
    expect(before.map(({ id }) => id)).toEqual(['run1-1']);
    reader.writableLength = 0;
    vi.advanceTimersByTime(100);
    expect(reader.take().flatMap(({ id }) => id ?? [])).toEqual(
      Array.from({ length: 899 }, (_, i) => `run1-${i + 2}`),
    );
  });

  it('closes a reader that is further behind than what is kept', () => {
    const { join, tell, counts, hub } = setUp();
    const { reader } = join();
    reader.writableLength = 100_000;
    for (let n = 1; n <= 1001; n++) tell(n);
    reader.writableLength = 0;
    vi.advanceTimersByTime(100);
    expect(reader.destroyed).toBe(true);
    expect(hub.readerCount).toBe(0);
    expect(counts).toEqual({ streamClientDropped: 1 });
  });

  it('closes a reader that has taken nothing for twenty seconds, though nothing is announced', () => {
    const { join, counts, hub } = setUp();
    const { reader } = join();
    const quick = join().reader;
    reader.writableLength = 5000;
    vi.advanceTimersByTime(19_900);
    expect(reader.destroyed).toBe(false);
    vi.advanceTimersByTime(200);
    expect(reader.destroyed).toBe(true);
    expect(quick.destroyed).toBe(false);
    expect(hub.readerCount).toBe(1);
    expect(counts).toMatchObject({ streamClientDropped: 1 });
  });

  it('takes only so many readers, and rests without any', () => {
    const { join, hub, counts } = setUp(1);
    const { reader } = join();
    expect(join().accepted).toBe(false);
    expect(counts).toEqual({ streamClientRefused: 1 });
    reader.end();
    expect(hub.readerCount).toBe(0);
    expect(vi.getTimerCount()).toBe(0);
    expect(join().accepted).toBe(true);
  });
});

/** A source on a link of the test's own and a clock that is told to move: nothing waits. */
import { describe, expect, it } from 'vitest';
import { crc16 } from '#core/frame/crc16';
import { createDecoder } from '#core/frame/create-decoder';
import { delimitedMapSchema } from '#core/frame/delimited-map';
import { FrameEncoder } from '#core/frame/frame-encoder';
import type { SampleChunk } from '#core/sample/chunk';
import { ByteSource } from '../../../edge/source/byte-source.ts';
import type { Link, LinkEvents } from '../../../edge/source/link.ts';
import { problem } from '../../../edge/source/link-problem.ts';
import type { RestartCause, SourceStateReport } from '../../../edge/source/source.ts';
import { ascii, device, FOUR, joined } from '../frame/frame-support.ts';
import { FakeClock } from './fake-clock.ts';

class TestLink implements Link {
  readonly name = '/dev/ttyRig';
  readonly hasNode = true;
  there = true;
  closes = 0;
  held = false;
  readonly openings: LinkEvents[] = [];

  open(events: LinkEvents): void {
    this.openings.push(events);
    if (this.there) events.onOpen();
    else events.onDown(problem('missing', `${this.name} is not there`));
  }

  async close(): Promise<void> {
    this.closes++;
  }

  present(): boolean {
    return this.there;
  }

  hold(): void {
    this.held = true;
  }

  release(): void {
    this.held = false;
  }

  send(bytes: Uint8Array): void {
    this.openings.at(-1)!.onBytes(bytes);
  }
}

function make(boot = 7) {
  const clock = new FakeClock();
  const link = new TestLink();
  const chunks: SampleChunk[] = [];
  const states: SourceStateReport[] = [];
  const restarts: RestartCause[] = [];
  const lost: number[] = [];
  const source = new ByteSource(link, createDecoder({ format: 'auto' }), clock, {
    onChunk: chunk => {
      chunks.push(chunk);
    },
    onState: report => states.push(report),
    onRestart: cause => restarts.push(cause),
    onFramesLost: count => lost.push(count),
  });
  const encoder = new FrameEncoder('binary', device(FOUR, boot));
  const weld = (tUs: number): Uint8Array => encoder.data(tUs, 10_000, [[236, 24, 171, 7.5]]);
  return { clock, link, chunks, states, restarts, lost, source, encoder, weld };
}

const times = (chunks: readonly SampleChunk[]): number[] => chunks.flatMap(({ tUs }) => [...tUs]);

describe('a byte source', () => {
  it('places samples by device time over a pulled cable, and sees the gap', async () => {
    const { clock, link, chunks, states, restarts, source, encoder, weld } = make();
    source.start();
    await clock.advance(0);
    link.send(joined(encoder.announcementBytes, weld(5_000_000)));
    const startUs = clock.nowUs() - 10_000;
    link.there = false;
    await clock.advance(2000);
    expect(states.at(-1)).toMatchObject({ state: 'absent', problem: 'gone' });
    link.there = true;
    await clock.advance(400);
    link.send(weld(7_400_000));
    expect(times(chunks)).toEqual([startUs, startUs + 2_400_000]);
    expect(states.at(-1)).toMatchObject({ state: 'streaming', detail: null });
    expect(restarts).toEqual([]);
    expect(link.closes).toBe(1);
  });

  it('anchors anew when what comes back is a device that began again, counted or not', async () => {
    for (const [boots, cause] of [
      [[7, 8], 'bootChanged'],
      [[0, 0], 'reanchored'],
    ] as const) {
      const { clock, link, chunks, restarts, source, encoder, weld } = make(boots[0]);
      source.start();
      await clock.advance(0);
      link.send(joined(encoder.announcementBytes, weld(5_000_000)));
      link.openings.at(-1)!.onDown(problem('gone', 'gone'));
      await clock.advance(3000);
      const again = new FrameEncoder('binary', device(FOUR, boots[1]));
      link.send(joined(again.announcementBytes, again.data(20_000, 10_000, [[236, 24, 171, 7.5]])));
      expect(restarts).toEqual([cause]);
      expect(times(chunks).at(-1)).toBe(clock.nowUs() - 10_000);
    }
  });

  it('takes no word from a connection that was given up', async () => {
    const { clock, link, chunks, states, source, encoder, weld } = make();
    source.start();
    await clock.advance(0);
    const old = link.openings[0]!;
    old.onDown(problem('gone', 'gone'));
    await clock.advance(300);
    expect(link.openings).toHaveLength(2);
    old.onBytes(joined(encoder.announcementBytes, weld(0)));
    old.onDown(problem('gone', 'gone'));
    old.onOpen();
    expect(chunks).toEqual([]);
    expect(states.at(-1)?.state).toBe('open');
  });

  it('reports a missing port once and then its sentences, not every attempt', async () => {
    const { clock, link, states, source } = make();
    link.there = false;
    source.start();
    await clock.advance(60_000);
    expect(new Set(states.slice(1).map(({ state }) => state))).toEqual(new Set(['absent']));
    expect(new Set(states.slice(1).map(({ sinceUs }) => sinceUs)).size).toBe(1);
    expect(states.length).toBeLessThan(12);
    expect(clock.pending).toBe(1);
    await source.stop();
    expect(clock.pending).toBe(0);
    expect(states.at(-1)?.state).toBe('ended');
  });

  it('stalls after 500 ms without samples and opens again after 3 s, with one timer all along', async () => {
    const { clock, link, states, source, encoder, weld } = make();
    source.start();
    await clock.advance(0);
    link.send(joined(encoder.announcementBytes, weld(0)));
    await clock.advance(499);
    expect(states.at(-1)?.state).toBe('streaming');
    await clock.advance(2);
    expect(states.at(-1)?.state).toBe('stalled');
    expect(clock.pending).toBe(1);
    await clock.advance(3000);
    expect(link.openings).toHaveLength(2);
    expect(clock.pending).toBe(1);
  });

  it('reads once between two collections while samples flow, and at once after a silence', async () => {
    const { clock, link, source, encoder, weld } = make();
    source.start();
    await clock.advance(0);
    link.send(encoder.announcementBytes);
    link.send(weld(0));
    expect(link.held).toBe(false);
    source.collect();
    link.send(encoder.announcementBytes);
    expect(link.held).toBe(false);
    link.send(weld(10_000));
    expect(link.held).toBe(true);
    source.collect();
    source.collect();
    expect(link.held).toBe(false);
    link.send(weld(20_000));
    expect(link.held).toBe(true);
    expect(source.counters()).toMatchObject({ samples: 3, lostFrames: 0 });
  });

  it('reads lines without a time of their own as they come: their arrival is their time', async () => {
    const clock = new FakeClock();
    const link = new TestLink();
    const chunks: SampleChunk[] = [];
    const map = { weldingCurrent: { column: 0, unit: 'A' }, arcVoltage: { column: 1, unit: 'V' } } as const;
    const decoder = createDecoder({
      format: 'delimited',
      map: delimitedMapSchema.parse(map),
      startsAtLine: true,
    });
    const source = new ByteSource(link, decoder, clock, {
      onChunk: chunk => {
        chunks.push(chunk);
      },
      onState: () => undefined,
    });
    source.start();
    await clock.advance(0);
    source.collect();
    for (const line of ['200,24\n', '201,24\n', '202,24\n']) link.send(new TextEncoder().encode(line));
    expect(chunks.length).toBeGreaterThan(0);
    expect(link.held).toBe(false);
  });

  it('tells what is missing also after the device was changed for one of the other form', async () => {
    const { clock, link, lost, source } = make();
    source.start();
    await clock.advance(0);
    for (const [form, drops] of [
      ['text', 3],
      ['binary', 2],
      ['text', 1],
    ] as const) {
      const encoder = new FrameEncoder(form, device(FOUR, 7));
      link.send(encoder.announcementBytes);
      for (let k = 0; k <= drops + 1; k++) {
        const frame = encoder.data(k * 10_000, 10_000, [[236, 24, 171, 7.5]]);
        if (k === 0 || k > drops) link.send(frame);
      }
      link.openings.at(-1)!.onDown(problem('gone', 'gone'));
      await clock.advance(3000);
    }
    expect(lost).toEqual([3, 2, 1]);
  });

  it('says what comes where it is no frame, or of a version that is not known', async () => {
    const noise = Uint8Array.from({ length: 600 }, (_, i) => (i * 37) % 251);
    // Version 2, its checksum right: crc16 of the line before the asterisk.
    const announced = '!A,2,R,1,10000,I:A:0.1,U:V:0.01';
    const crc = crc16(ascii(announced), 0, announced.length).toString(16).toUpperCase().padStart(4, '0');
    for (const [bytes, words] of [
      [new Uint8Array(0), '/dev/ttyRig is open, but no frame has come: opening it again in 3 s'],
      [noise, '/dev/ttyRig is open, but what comes is no frame of this format: opening it again in 3 s'],
      [
        ascii(`${announced}*${crc}\n`.repeat(2)),
        'it announces itself in a version of the frames that is not known here',
      ],
    ] as const) {
      const { clock, link, states, source } = make();
      source.start();
      await clock.advance(0);
      if (bytes.length > 0) link.send(bytes);
      await clock.advance(600);
      expect(states.at(-1)?.detail).toContain(words);
    }
  });

  it('tells how many frames are missing when it notices', async () => {
    const { clock, link, lost, source, encoder, weld } = make();
    source.start();
    await clock.advance(0);
    link.send(joined(encoder.announcementBytes, weld(0)));
    encoder.skipFrames(4);
    link.send(weld(50_000));
    expect(lost).toEqual([4]);
    expect(source.counters()).toMatchObject({ lostFrames: 4, samples: 2, openings: 1, reanchored: 0 });
  });
});

import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { createDecoder } from '#core/frame/create-decoder';
import { FrameEncoder } from '#core/frame/frame-encoder';
import { concatChunks, type SampleChunk } from '#core/sample/chunk';
import { FileSource } from '../../../edge/source/file-source.ts';
import type { SourceHandlers, SourceStateReport } from '../../../edge/source/source.ts';
import { systemSourceClock } from '../../../edge/source/source-clock.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { waitUntil } from '../../support/wait-until.ts';
import { device, FOUR, joined } from '../frame/frame-support.ts';

const START_US = 1_000_000;

function recording(samples: number, boots: readonly number[] = [1], periodUs = 10_000): string {
  const parts: Uint8Array[] = [];
  for (const boot of boots) {
    const encoder = new FrameEncoder('text', { ...device(FOUR, boot), samplePeriodUs: periodUs });
    parts.push(encoder.announcementBytes);
    for (let k = 0; k < samples; k++) parts.push(encoder.data(k * periodUs, periodUs, [[k % 900, 24, 1, 1]]));
  }
  const path = join(tempDir(), 'line.txt');
  writeFileSync(path, joined(...parts).subarray(0, -1));
  return path;
}

function make(path: string, handlers: Partial<SourceHandlers> = {}) {
  const chunks: SampleChunk[] = [];
  const states: SourceStateReport[] = [];
  const source = new FileSource(
    { path, pace: 'fast' },
    createDecoder({ format: 'text' }),
    systemSourceClock(() => START_US),
    {
      onChunk: chunk => {
        chunks.push(chunk);
      },
      onState: report => states.push(report),
      ...handlers,
    },
  );
  const ended = (): Promise<SourceStateReport> =>
    waitUntil(() => states.find(({ state }) => state === 'ended'), 'the end of the file');
  return { source, chunks, states, ended };
}

describe('a file as a source', () => {
  it('begins at the record time of its start and is read to its last line, ended or not', async () => {
    const { source, chunks, states, ended } = make(recording(3000));
    source.start();
    expect(await ended()).toMatchObject({
      problem: null,
      detail: expect.stringContaining('read to its end'),
    });
    const { n, tUs } = concatChunks(chunks);
    expect(n).toBe(3000);
    expect([tUs[0], tUs[2999]]).toEqual([START_US, START_US + 2999 * 10_000]);
    expect(states.map(({ state }) => state)).toEqual(['opening', 'streaming', 'ended']);
  });

  it('waits for whoever takes its samples', async () => {
    let inHand = 0;
    let most = 0;
    let taken = 0;
    const { source, ended } = make(recording(5000), {
      onChunk: async chunk => {
        most = Math.max(most, ++inHand);
        await new Promise(resolve => setImmediate(resolve));
        inHand--;
        taken += chunk.n;
      },
    });
    source.start();
    await ended();
    expect(most).toBe(1);
    expect(taken).toBe(5000);
  });

  it.each([
    [10_000, 510_000],
    [1_000_000, 6_000_000],
  ])(
    'puts the smallest certain gap where the device began again (period %s µs)',
    async (periodUs, pauseUs) => {
      const { source, chunks, ended } = make(recording(10, [1, 2], periodUs));
      source.start();
      await ended();
      const { tUs } = concatChunks(chunks);
      expect(tUs[10]! - (tUs[9]! + periodUs)).toBe(pauseUs);
    },
  );

  it('that is not there ends with one sentence', async () => {
    const { source, ended } = make('/nowhere/line.txt');
    source.start();
    expect(await ended()).toMatchObject({ problem: 'missing', detail: '/nowhere/line.txt is not there' });
  });

  it('stops in the middle, and says nothing more', async () => {
    let source: FileSource | null = null;
    let chunks = 0;
    const made = make(recording(50_000), {
      onChunk: () => {
        chunks++;
        void source?.stop();
      },
    });
    source = made.source;
    source.start();
    await made.ended();
    expect(chunks).toBe(1);
  });
});

import { appendFileSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import { BlackBox } from '../../../edge/black-box/black-box.ts';
import { KIND } from '../../../edge/black-box/black-box-format.ts';
import { listBlackBox, readFrames } from '../../../edge/black-box/black-box-reader.ts';
import { cutBlackBox } from '../../../edge/black-box/cut-black-box.ts';
import { tempDir } from '../../support/temp-dir.ts';

const T0_MS = Date.UTC(2026, 4, 12, 8);
const STREAM = 'a'.repeat(32);

class Bench {
  nowUs = 1_000_000_000;
  mayWrite = true;
  readonly troubles: { leftOut: number; reason: string | null }[] = [];
  readonly folder: string;
  box: BlackBox;
  private readonly limits: { budgetBytes: number; maxAgeH: number };

  constructor(
    limits: Partial<{ budgetBytes: number; maxAgeH: number }> = {},
    folder = join(tempDir(), 'box'),
  ) {
    this.folder = folder;
    this.limits = { budgetBytes: 1_000_000, maxAgeH: 168, ...limits };
    this.box = this.make();
  }

  /** As a new start of the edge would. */
  make(): BlackBox {
    this.box = new BlackBox({
      ...this.limits,
      folder: this.folder,
      recordNowUs: () => this.nowUs,
      header: () => ({
        stream: STREAM,
        origin: 'simulated',
        source: 'tcp://127.0.0.1:1',
        utcMinusRecordMs: T0_MS - 1_000_000,
      }),
      mayWrite: () => this.mayWrite,
      onTrouble: trouble => this.troubles.push(trouble),
    });
    this.box.start();
    return this.box;
  }

  /** `bytes` of `fill`, written and settled. */
  async write(bytes: number, fill = 65): Promise<void> {
    this.box.take(Buffer.alloc(bytes, fill), this.nowUs);
    await this.settle();
  }

  /** Stops, which writes what waits, and starts again. */
  async settle(): Promise<void> {
    await this.box.stop();
    this.make();
  }

  async frames() {
    const found: { kind: number; arrivalUs: number; text: string }[] = [];
    for (const { path } of listBlackBox(this.folder)) {
      for await (const { kind, arrivalUs, content } of readFrames(path)) {
        found.push({ kind, arrivalUs, text: Buffer.from(content).toString() });
      }
    }
    return found;
  }

  size(): number {
    return readdirSync(this.folder).reduce((sum, name) => sum + statSync(join(this.folder, name)).size, 0);
  }
}

let bench: Bench;
beforeEach(() => {
  bench = new Bench();
});

describe('the black box', () => {
  it('keeps the bytes as they came, with the time each came and each opening of the link', async () => {
    bench.box.opened(bench.nowUs);
    bench.box.take(Buffer.from('ab'), bench.nowUs);
    bench.box.take(Buffer.from('c'), bench.nowUs + 20_000);
    await bench.box.stop();
    expect(await bench.frames()).toEqual([
      { kind: KIND.opened, arrivalUs: 1_000_000_000, text: '' },
      { kind: KIND.bytes, arrivalUs: 1_000_000_000, text: 'ab' },
      { kind: KIND.bytes, arrivalUs: 1_000_020_000, text: 'c' },
    ]);
    expect(listBlackBox(bench.folder)).toMatchObject([
      { header: { stream: STREAM, startedUs: 1_000_000_000 } },
    ]);
    const [name] = readdirSync(bench.folder);
    expect(statSync(join(bench.folder, name!)).mode & 0o777).toBe(0o600);
  });

  it('stays within its budget: the oldest go, whole files at a time, over restarts too', async () => {
    bench = new Bench({ budgetBytes: 160_000 });
    for (let i = 0; i < 100; i++) {
      bench.nowUs += 1_000_000;
      await bench.write(8000, 48 + (i % 10));
      expect(bench.size()).toBeLessThanOrEqual(160_000);
    }
    expect(bench.size()).toBeGreaterThan(120_000);
    const frames = await bench.frames();
    expect(frames.at(-1)?.arrivalUs).toBe(bench.nowUs);
    // What is left is the end, without a hole.
    expect(frames.map(({ arrivalUs }) => arrivalUs)).toEqual(
      frames.map((_, i) => bench.nowUs - (frames.length - 1 - i) * 1_000_000),
    );
  });

  it('lets go what is older than its age', async () => {
    bench = new Bench({ maxAgeH: 2 });
    await bench.write(10);
    bench.nowUs += 1.6 * 3_600_000_000;
    await bench.write(20);
    bench.nowUs += 1.6 * 3_600_000_000;
    await bench.write(30);
    expect((await bench.frames()).map(({ text }) => text.length)).toEqual([20, 30]);
    expect(bench.box.status().fromUs).toBe(1_000_000_000 + 1.6 * 3_600_000_000);
  });

  it('leaves out what the disk is too slow for, counts it, marks it in the file and tells it', async () => {
    bench = new Bench({ budgetBytes: 10_000_000 });
    bench.box.take(Buffer.alloc(1_000_000), bench.nowUs);
    bench.box.take(Buffer.alloc(200_000), bench.nowUs);
    expect(bench.box.status().leftOutBytes).toBe(200_000);
    const { box } = bench;
    await box.stop();
    expect(bench.troubles).toEqual([{ leftOut: 200_000, reason: null }]);
    bench.nowUs += 5;
    box.take(Buffer.from('after'), bench.nowUs);
    await box.stop();
    const frames = await bench.frames();
    expect(frames.map(({ kind }) => kind)).toEqual([KIND.bytes, KIND.leftOut, KIND.bytes]);
    expect(Buffer.from(frames[1]!.text, 'latin1')).toHaveLength(8);
  });

  it('that cannot write says so, stops nothing and tries again in a minute', async () => {
    const folder = join(tempDir(), 'taken');
    writeFileSync(folder, '');
    bench = new Bench({}, folder);
    bench.box.take(Buffer.from('lost'), bench.nowUs);
    const { box } = bench;
    await box.stop();
    expect(box.status()).toMatchObject({ state: 'failed', leftOutBytes: 4 });
    expect(bench.troubles[0]?.reason).toMatch(/EEXIST|ENOTDIR/);
    rmSync(folder);
    bench.nowUs += 61_000_000;
    await box.stop();
    box.take(Buffer.from('kept'), bench.nowUs);
    await box.stop();
    expect(box.status().state).toBe('recording');
    expect((await bench.frames()).map(({ kind, text }) => [kind, text])).toContainEqual([KIND.bytes, 'kept']);
  });

  it('writes nothing while the disk is wanted for what counts more', async () => {
    bench.mayWrite = false;
    const { box } = bench;
    await box.stop();
    box.take(Buffer.from('aside'), bench.nowUs);
    await box.stop();
    expect(box.status()).toMatchObject({ state: 'paused', leftOutBytes: 5, bytes: 0 });
  });
});

describe('a file of the black box', () => {
  it('cut off anywhere is read to its last whole frame; a changed byte ends it', async () => {
    await bench.write(3);
    bench.nowUs += 1;
    bench.box.take(Buffer.from('second'), bench.nowUs);
    await bench.box.stop();
    const [, last] = listBlackBox(bench.folder);
    const whole = readFileSync(last!.path);
    for (let cut = 1; cut <= 22; cut++) {
      writeFileSync(last!.path, whole.subarray(0, whole.length - cut));
      expect((await bench.frames()).map(({ text }) => text)).toEqual(['AAA']);
    }
    const changed = Buffer.from(whole);
    changed[whole.length - 1]! ^= 1;
    writeFileSync(last!.path, changed);
    expect((await bench.frames()).map(({ text }) => text)).toEqual(['AAA']);
    writeFileSync(last!.path, whole);
    appendFileSync(last!.path, 'torn');
    expect((await bench.frames()).map(({ text }) => text)).toEqual(['AAA', 'second']);
  });

  it('is cut by UTC, with the seconds before in which the device says what it sends', async () => {
    for (let s = 0; s < 60; s++) {
      bench.nowUs = 1_000_000_000 + s * 1_000_000;
      await bench.write(1, 48 + (s % 10));
    }
    await bench.box.stop();
    const out = join(tempDir(), 'minute.blackbox');
    const found = await cutBlackBox(bench.folder, T0_MS + 20_000, T0_MS + 30_000, out);
    // 2.5 s of lead: 18 s to 30 s.
    expect(found).toEqual({ frames: 13, bytes: 13, leftOut: 0, fromUs: 1_018_000_000, toUs: 1_030_000_000 });
    const frames: number[] = [];
    for await (const { arrivalUs } of readFrames(out)) frames.push(arrivalUs);
    expect(frames).toEqual(Array.from({ length: 13 }, (_, i) => 1_018_000_000 + i * 1_000_000));
    const nothing = join(tempDir(), 'nothing');
    expect(await cutBlackBox(bench.folder, 0, 1000, nothing)).toMatchObject({ frames: 0, fromUs: null });
    await expect(cutBlackBox(bench.folder, 0, 1000, out)).rejects.toThrow(/EEXIST/);
  });
});

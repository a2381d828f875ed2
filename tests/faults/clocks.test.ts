/** Wall clocks that are set, or unknown at boot: no sample moves, and every step is on record. */
import { existsSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { recordBodySchema } from '#core/messages/record';
import { tempDir } from '../support/temp-dir.ts';
import { waitUntil } from '../support/wait-until.ts';
import { afterSamples } from './harness/moment.ts';
import { numbersOf } from './harness/numbered-samples.ts';
import { makeStation } from './harness/station.ts';
import { eventsIn, readEdgeStore, samplesIn } from './harness/stores.ts';

const LIBRARIES = ['x86_64-linux-gnu', 'aarch64-linux-gnu', 'arm-linux-gnueabihf'].map(
  machine => `/usr/lib/${machine}/faketime/libfaketime.so.1`,
);
const LIBRARY = LIBRARIES.find(existsSync);

function noFaketime(): boolean {
  if (LIBRARY) return false;
  if (process.env['CI'] === 'true') throw new Error('libfaketime is missing: apt-get install libfaketime');
  process.stderr.write('skipped, libfaketime is missing: apt-get install libfaketime\n');
  return true;
}

/** A wall clock of its own for one program; the monotonic clock stays the machine's. */
function ownClock(first: string) {
  const file = join(tempDir(), 'offset');
  writeFileSync(file, first);
  return {
    env: {
      LD_PRELOAD: LIBRARY!,
      FAKETIME_TIMESTAMP_FILE: file,
      FAKETIME_DONT_FAKE_MONOTONIC: '1',
      FAKETIME_NO_CACHE: '1',
    },
    /** Such as `+3600` (an hour ahead) or `-86400`; or an absolute start such as `@1970-01-01 00:00:10`. */
    set: (offset: string) => writeFileSync(file, offset),
  };
}

describe.skipIf(noFaketime())('the wall clock of the edge', () => {
  it('is set an hour ahead, a day back and to 1970 in the middle of a pass: arc time and every sample stay', async () => {
    const clock = ownClock('+0');
    const station = await makeStation({ seed: 1, rateHz: 100, firstPassAfterS: 1.5 });
    await station.startTruck();
    const heard = await station.listen();
    const edge = station.startEdge(clock.env);
    const arcTime = (): number => heard.live()?.pass?.arcTimeS ?? 0;
    await waitUntil(
      () => arcTime() > 0.5,
      () => `an arc; ${edge.stderr()}`,
    );
    const backTo1970 = -Math.floor(Date.now() / 1000) + 1000;
    let steps = 0;
    for (const offset of ['+3600', '-86400', `${backTo1970}`, '+0']) {
      const before = arcTime();
      clock.set(offset);
      steps += 1;
      await waitUntil(
        () => edge.stderr().split('"event":"clockStep"').length - 1 >= steps,
        () => `step ${steps} to be noticed; ${edge.stderr().slice(-1500)}`,
      );
      await waitUntil(() => arcTime() > before + 0.5, 'the arc to go on');
    }
    await station.rig.stop();
    await station.allTaken(() => edge);
    expect(await edge.stop()).toBe(0);
    const { batches } = readEdgeStore(station.edgeFile);
    const produced = await station.rig.samples();
    const stored = samplesIn(batches);
    const numbers = numbersOf(produced, stored);
    // To the microsecond the device's own time, shifted as a whole.
    const shift = stored[0]!.tUs - produced[numbers[0]!]!.tUs;
    stored.forEach(({ tUs }, i) => {
      expect(tUs - produced[numbers[i]!]!.tUs).toBe(shift);
    });
    expect(numbers).toEqual(Array.from({ length: numbers.length }, (_, i) => numbers[0]! + i));
    const told = eventsIn(batches).filter(({ type }) => type === 'clockStep');
    expect(told).toHaveLength(4);
    expect(told.map(({ data }) => Math.round(Number(data['byMs']) / 60_000))).toEqual([
      60,
      -60 - 1440,
      expect.any(Number),
      expect.any(Number),
    ]);
    const starts = eventsIn(batches).filter(({ type }) => type === 'arcStart');
    expect(starts).toHaveLength(1);
  });

  it('is not set at boot and is later: samples keep their order, later batches carry the right time', async () => {
    const clock = ownClock(`${-Math.floor(Date.now() / 1000) + 10}`);
    const station = await makeStation({ seed: 1, rateHz: 100 });
    await station.startTruck();
    const edge = station.startEdge(clock.env);
    await waitUntil(
      () => station.committed() >= 10,
      () => `batches; ${edge.stderr()}`,
    );
    clock.set('+0');
    await waitUntil(() => edge.stderr().includes('"event":"clockStep"'), 'the time to be noticed');
    await afterSamples(station.rig, 50);
    const before = station.committed();
    await waitUntil(() => station.committed() > before + 2, 'batches after it');
    const books = await (async () => {
      await station.rig.stop();
      await station.allTaken(() => edge);
      expect(await edge.stop()).toBe(0);
      return station.account();
    })();
    expect(books.holes).toEqual([]);
    const bodies = books.edge.batches.map(({ body }) => recordBodySchema.parse(JSON.parse(body)));
    expect(new Date(bodies[0]!.at).getUTCFullYear()).toBe(1970);
    expect(Date.now() - Date.parse(bodies.at(-1)!.at)).toBeLessThan(3_600_000);
    // The map of the later batches dates the earlier samples too: record time ran on without a step.
    const [first, last] = [bodies.find(({ samples }) => samples)!, bodies.at(-1)!];
    const redated = first.samples!.firstUs / 1000 + last.utcMinusRecordMs;
    expect(Math.abs(Date.now() - redated)).toBeLessThan(3_600_000);
    expect(last.utcMinusRecordMs - first.utcMinusRecordMs).toBeGreaterThan(365 * 86_400_000);
  });

  it('is behind what is stored already: record time goes on after the newest sample', async () => {
    const clock = ownClock('+0');
    const station = await makeStation({ seed: 1, rateHz: 100 });
    await station.startTruck();
    let edge = station.startEdge(clock.env);
    await waitUntil(
      () => station.committed() >= 10,
      () => `batches; ${edge.stderr()}`,
    );
    await edge.kill();
    clock.set('-86400');
    edge = station.startEdge(clock.env);
    const before = station.committed();
    await waitUntil(
      () => station.committed() >= before + 10,
      () => `batches; ${edge.stderr()}`,
    );
    await station.rig.stop();
    await station.allTaken(() => edge);
    expect(await edge.stop()).toBe(0);
    const books = await station.account();
    expect(books.holes.length).toBeLessThanOrEqual(1);
    const times = samplesIn(books.edge.batches).map(({ tUs }) => tUs);
    times.slice(1).forEach((tUs, i) => {
      expect(tUs).toBeGreaterThan(times[i]!);
    });
  });
});

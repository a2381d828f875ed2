/** Cables, devices and lines that fail: what is missing is a hole with a cause, what is there is true. */
import { describe, expect, it } from 'vitest';
import type { RunningProgram } from '../support/programs.ts';
import { noSocat } from '../support/pty.ts';
import { waitUntil } from '../support/wait-until.ts';
import { type Cable, layCable } from './harness/cable.ts';
import { afterSamples } from './harness/moment.ts';
import { startNumberedRig } from './harness/numbered-rig.ts';
import { numbersOf } from './harness/numbered-samples.ts';
import { faultTest, WHOLE_TABLE } from './harness/random-test.ts';
import { type Heard, makeStation, type Station } from './harness/station.ts';
import { eventsIn, readEdgeStore, samplesIn } from './harness/stores.ts';

interface SerialStation extends Station {
  readonly cable: Cable;
  readonly heard: Heard;
  readonly edge: RunningProgram;
}

async function serialStation(seed: number): Promise<SerialStation> {
  let cable: Cable | null = null;
  const station = await makeStation({
    seed,
    rateHz: 100,
    sourceUrl: async url => {
      cable = await layCable(url);
      return `serial://${cable.pty.path}?baud=115200`;
    },
  });
  await station.startTruck();
  const heard = await station.listen();
  const edge = station.startEdge();
  await state(heard, 'streaming', edge);
  return { ...station, cable: cable! as Cable, heard, edge };
}

async function state(heard: Heard, wanted: string, edge: RunningProgram): Promise<void> {
  await waitUntil(
    () => heard.live()?.source.state === wanted,
    () => `the source to be ${wanted}, it is ${heard.live()?.source.state}; ${edge.stderr().slice(-1500)}`,
  );
}

async function finish(station: Station, edge: RunningProgram) {
  await station.rig.stop();
  await station.allTaken(() => edge);
  expect(await edge.stop()).toBe(0);
  const last = station.startEdge();
  await station.allTaken(() => last);
  return station.account();
}

const sourceStates = (station: Station): (string | number | boolean | null)[] =>
  eventsIn(readEdgeStore(station.edgeFile).batches)
    .filter(({ type }) => type === 'sourceState')
    .map(({ data }) => data['state'] ?? null);

describe.skipIf(noSocat())('the serial line', () => {
  it('is pulled out and plugged in: each time a hole with its cause, and no two halves of a frame in one', async () => {
    const cycles = WHOLE_TABLE ? 50 : 4;
    const { cable, heard, edge, ...station } = await serialStation(1);
    for (let cycle = 1; cycle <= cycles; cycle++) {
      const sample = station.rig.produced();
      await cable.pty.unplug();
      await state(heard, 'absent', edge);
      await waitUntil(() => station.rig.produced() > sample, 'something to be missed');
      await cable.pty.plug();
      await state(heard, 'streaming', edge);
    }
    const books = await finish(station, edge);
    expect(books.holes.length).toBeGreaterThan(0);
    expect(books.holes.length).toBeLessThanOrEqual(cycles);
    expect(books.delivered).toEqual(books.stored);
    expect(sourceStates(station).filter(name => name === 'absent')).toHaveLength(cycles);
    const causes = eventsIn(books.edge.batches).filter(({ data }) => data['state'] === 'absent');
    for (const { text } of causes) expect(text).toMatch(/is (gone|not there)/);
  });

  faultTest('loses, repeats and swaps frames: every one of them is counted', { seeds: 5 }, async random => {
    const { cable, heard, edge, ...station } = await serialStation(random.seed);
    const done = { lost: 0, repeated: 0, swapped: 0 };
    let held: string | null = null;
    let clean = 0;
    cable.spoil(frame => {
      if (!frame.startsWith('!D')) return held === null ? [frame] : [];
      if (held !== null) {
        const swapped = [frame, held];
        held = null;
        return swapped;
      }
      // Two clean ones between, so that each fault is one of a kind.
      if (++clean < 3) return [frame];
      const fault = random.whole(0, 29);
      if (fault > 2) return [frame];
      clean = 0;
      if (fault === 0) {
        done.lost += 1;
        return [];
      }
      if (fault === 1) {
        done.repeated += 1;
        return [frame, frame];
      }
      done.swapped += 1;
      held = frame;
      return [];
    });
    await waitUntil(
      () => Math.min(...Object.values(done)) >= 3 && held === null,
      'faults of each kind',
      60_000,
    );
    cable.spoil(null);
    await afterSamples(station.rig, 20);
    // Of a swapped pair the later frame is taken, the earlier one missed and then refused as late.
    await waitUntil(
      () => {
        const counters = heard.health()?.counters;
        return (
          counters?.['lostFrames'] === done.lost + done.swapped &&
          counters['duplicateFrames'] === done.repeated &&
          counters['outOfOrder'] === done.swapped
        );
      },
      () => `${JSON.stringify(done)} to be counted; counted: ${JSON.stringify(heard.health()?.counters)}`,
      30_000,
    );
    const books = await finish(station, edge);
    const missing = books.holes.reduce((sum, [from, to]) => sum + to - from + 1, 0);
    expect(missing).toBe(done.lost + done.swapped);
  });
});

describe('the device', () => {
  it('falls silent: that is shown, and when it speaks again it is the same run with a gap', async () => {
    const station = await makeStation({ seed: 1, rateHz: 100 });
    await station.startTruck();
    const heard = await station.listen();
    const edge = station.startEdge();
    await state(heard, 'streaming', edge);
    station.rig.program.child.kill('SIGSTOP');
    await state(heard, 'stalled', edge);
    await waitUntil(() => heard.live()?.arc === 'noData', 'NO DATA on the screens');
    expect(Object.values(heard.live()!.values).every(value => value === null)).toBe(true);
    station.rig.program.child.kill('SIGCONT');
    await state(heard, 'streaming', edge);
    const books = await finish(station, edge);
    expect(books.holes).toEqual([]);
    expect(sourceStates(station)).toContain('stalled');
  });

  it('restarts with its counters at the beginning: a restart on record, not a huge gap', async () => {
    const station = await makeStation({ seed: 1, rateHz: 100 });
    await station.startTruck();
    const heard = await station.listen();
    const edge = station.startEdge();
    await state(heard, 'streaming', edge);
    await afterSamples(station.rig, 100);
    await station.rig.stop();
    const again = await startNumberedRig({ seed: 2, rateHz: 100, boot: 2, output: station.rig.url });
    await waitUntil(() => edge.stderr().includes('deviceRestarted'), 'the restart to be noticed');
    const before = station.committed();
    await waitUntil(() => station.committed() > before + 5, 'samples of the new run');
    await again.stop();
    await station.allTaken(() => edge);
    expect(await edge.stop()).toBe(0);
    const { batches } = readEdgeStore(station.edgeFile);
    const first = await station.rig.samples();
    const numbers = numbersOf([...first, ...(await again.samples())], samplesIn(batches));
    expect(numbers.some(number => number < first.length)).toBe(true);
    expect(numbers.some(number => number >= first.length)).toBe(true);
    const events = eventsIn(batches);
    expect(events.filter(({ type }) => type === 'deviceRestart')).toHaveLength(1);
    expect(events.filter(({ type }) => type === 'framesLost')).toEqual([]);
  });
});

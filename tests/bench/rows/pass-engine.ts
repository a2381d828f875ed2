import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { createPassEngine, DEFAULT_ENGINE_SETTINGS } from '#core/pass/pass-engine';
import { type SampleChunk, sliceChunk } from '#core/sample/chunk';
import { type EngineTotals, PlainEngine } from '../baselines/plain-engine.ts';
import { compileC, NO_COMPILER, runC } from '../harness/compile-c.ts';
import { atLeast, atMost, type Benchmark, type Figure, notMeasured } from '../harness/figure.ts';
import { nsEach, ratioOf, showMedian, takeTurns } from '../harness/measure.ts';
import { weldSignal } from '../harness/weld-signal.ts';

const SAMPLES = 200_000;
const RATE_HZ = 100;
const CHUNK = RATE_HZ;
const REPEATS = 3;
const WHAT_C = 'engine, 1 s chunks, against C -O2';
const WHAT_PLAIN = 'engine, 1 s chunks, against objects and maps';

function runEngine(chunks: readonly SampleChunk[]): EngineTotals {
  const engine = createPassEngine({ ...DEFAULT_ENGINE_SETTINGS, samplePeriodS: 1 / RATE_HZ });
  const totals = { arcTimeS: 0, energyKj: 0, runOutMm: 0, wireMm: 0 };
  const take = (): void => {
    for (const effect of engine.drain()) {
      if (effect.kind !== 'pass' || effect.state !== 'closed') continue;
      const { arcTimeS, arcEnergyKj, runOutLengthMm, wireUsedM } = effect.pass;
      totals.arcTimeS += arcTimeS;
      totals.energyKj += arcEnergyKj ?? Number.NaN;
      totals.runOutMm += runOutLengthMm ?? Number.NaN;
      totals.wireMm += (wireUsedM ?? Number.NaN) * 1000;
    }
  };
  for (const chunk of chunks) {
    engine.push(chunk);
    take();
  }
  engine.finish();
  take();
  return totals;
}

function runPlain(chunks: readonly SampleChunk[]): EngineTotals {
  const engine = new PlainEngine();
  for (const chunk of chunks) engine.push(chunk);
  return engine.totals();
}

/** A baseline that computes something else is none. */
function mustAgree(totals: EngineTotals, expected: EngineTotals, who: string): void {
  for (const name of ['arcTimeS', 'energyKj', 'runOutMm', 'wireMm'] as const) {
    const difference = Math.abs(totals[name] / expected[name] - 1);
    if (difference < 1e-6) continue;
    throw new Error(`${who} has ${name} ${totals[name]}, the engine ${expected[name]}`);
  }
}

export const passEngine: Benchmark = {
  id: 'G4',
  title: 'pass engine',
  how: `createPassEngine fed ${SAMPLES} samples of four channels at ${RATE_HZ} Hz in chunks of 1 s, effects taken after each: gaps, held values, arcs, energy, windows, positions, sliding means. Baselines: the same arithmetic for these four channels in C (tests/bench/baselines/engine.c: no texts, positions, uncertainties or verdicts), -O2; and the rules as one writes them first, with an object and a map of channels a sample (baselines/plain-engine.ts: no gaps and held values either). All three must agree on arc time, energy, run-out length and wire to one in a million. The best of ${REPEATS} passes of each counts in a round.`,
  run: async ({ baselines, scratch }) => {
    const whole = weldSignal(SAMPLES, RATE_HZ);
    const chunks: SampleChunk[] = [];
    for (let from = 0; from < SAMPLES; from += CHUNK) chunks.push(sliceChunk(whole, from, from + CHUNK));
    const { weldingCurrent, arcVoltage, wireFeedSpeed, travelSpeed } = whole.columns;
    const file = join(scratch, 'samples.bin');
    const columns = [whole.tUs, weldingCurrent!, arcVoltage!, wireFeedSpeed!, travelSpeed!];
    writeFileSync(file, Buffer.concat(columns.map(column => Buffer.from(column.buffer))));
    const program = compileC(join(baselines, 'engine.c'), scratch, 'engine');
    const expected = runEngine(chunks);
    const bestOf = async (who: string, work: (chunks: readonly SampleChunk[]) => EngineTotals) => {
      let best = Number.POSITIVE_INFINITY;
      for (let repeat = 0; repeat < REPEATS; repeat++) {
        let totals = expected;
        best = Math.min(
          best,
          await nsEach(SAMPLES, () => {
            totals = work(chunks);
          }),
        );
        mustAgree(totals, expected, who);
      }
      return best;
    };
    const inC = (): number => {
      if (program === null) return Number.NaN;
      const args = [file, String(RATE_HZ), String(CHUNK), String(REPEATS)];
      const result = runC<EngineTotals & { ns: number }>(program, args);
      mustAgree(result, expected, 'the engine in C');
      return result.ns;
    };
    const ns = await takeTurns(
      { rounds: 7, warmUps: 2 },
      {
        subject: () => bestOf('the engine', runEngine),
        plain: () => bestOf('the plain engine', runPlain),
        inC,
      },
    );
    const faster = ratioOf(ns.plain, ns.subject);
    const subject = showMedian(ns.subject, 'ns/sample');
    const figures: Figure[] = [
      {
        id: 'G4',
        what: WHAT_PLAIN,
        goal: '≥ 14× faster',
        ratio: faster,
        subject,
        baseline: showMedian(ns.plain, 'ns/sample'),
        verdict: atLeast(faster, 14),
      },
    ];
    if (program === null) return [...figures, notMeasured('G4', WHAT_C, '≤ 1.8×', NO_COMPILER)];
    const ratio = ratioOf(ns.subject, ns.inC);
    figures.push({
      id: 'G4',
      what: WHAT_C,
      goal: '≤ 1.8×',
      ratio,
      subject,
      baseline: showMedian(ns.inC, 'ns/sample'),
      verdict: atMost(ratio, 1.8),
    });
    return figures;
  },
};

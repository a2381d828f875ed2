import { join } from 'node:path';
import {
  confusionOf,
  NOTHING_SAID,
  rightTrials,
  type Trial,
  wrongTrials,
} from '../../support/pass-confusion.ts';
import { exampleProcedure, SEVERITIES } from '../../support/simulated-pass.ts';
import type { Benchmark, CountTable, Figure } from '../harness/figure.ts';
import { nsEach } from '../harness/measure.ts';

const GOOD_SEEDS = 30;
const WRONG_SEEDS = 2;
const ID = 'PASS';

const seeds = (n: number): number[] => Array.from({ length: n }, (_, i) => i + 1);

/** Among several that have the same numbers, the one whose set ran. */
const names = ({ said, set }: Trial): boolean => said.split(/, | or /).includes(set);

/** Passes whose numbers are the same in the example procedure: only a program number tells them apart. */
const alike = ({ assigned, set }: Trial): boolean => assigned.startsWith('fill') && set.startsWith('fill');

function countsOf(trials: readonly Trial[]): CountTable {
  const { columns } = confusionOf(trials);
  const rows = (['none', ...SEVERITIES] as const).flatMap(severity =>
    [true, false].flatMap(programKnown => {
      const these = trials.filter(one => one.severity === severity && one.programKnown === programKnown);
      return confusionOf(these, trials).rows.map(({ set, counts }) => [
        severity === 'none' ? 'assigned right' : severity,
        programKnown ? 'reported' : 'not reported',
        set,
        ...counts.map(count => (count === 0 ? '·' : String(count))),
      ]);
    }),
  );
  return {
    caption: `${ID}, what was said of simulated passes: a row is whose set ran, a column the pass that was named.`,
    head: ['severity', 'program number', 'set of', ...columns],
    rows,
  };
}

function share(what: string, trials: readonly Trial[], goal: string, isMet: boolean | null): Figure {
  const right = trials.filter(names).length;
  const wrong = trials.filter(one => one.said !== NOTHING_SAID && !names(one)).length;
  return {
    id: ID,
    what,
    goal,
    ratio: null,
    subject: `${right} of ${trials.length} named, ${wrong} misnamed`,
    baseline: '–',
    verdict: isMet === null ? 'for information' : isMet ? 'met' : 'missed',
  };
}

export const nearestPass: Benchmark = {
  id: ID,
  title: 'wrong pass',
  fullOnly: true,
  how: `Starts of passes from the simulator's physics (noise, start sequence, carriage ramp, weave), 20 ms a frame, through the engine under the example procedure: each of the six passes assigned right (${GOOD_SEEDS} seeds), and each with every other's set (${WRONG_SEEDS} seeds). Whole set: the other's program, feed, voltage and travel; feed only: the other's program on the source, travel as assigned; half-way: the other's program trimmed half-way back to the assigned set. Every recording is read twice, with the device's program number and without. The three fills have the same feed and travel: without a number nothing can tell one from another. Counts only; no baseline.`,
  run: async ({ baselines }) => {
    const procedure = exampleProcedure(join(baselines, '../../..'));
    let good: Trial[] = [];
    let wrong: Trial[] = [];
    const ns = await nsEach(1, () => {
      good = rightTrials(procedure, seeds(GOOD_SEEDS));
      wrong = wrongTrials(procedure, seeds(WRONG_SEEDS));
    });
    const of = (severity: Trial['severity'], programKnown: boolean): Trial[] =>
      wrong.filter(one => one.severity === severity && one.programKnown === programKnown);
    const every = (trials: readonly Trial[]): boolean => trials.every(names);
    const flagged = good.filter(({ said }) => said !== NOTHING_SAID).length;
    const places = wrong.flatMap(({ travelledMm }) => travelledMm ?? []);
    const [first, last] = [Math.min(...places), Math.max(...places)];
    const unlike = of('whole set', false).filter(one => !alike(one));
    return [
      {
        id: ID,
        what: 'passes assigned right that were flagged',
        goal: '0',
        ratio: null,
        subject: `${flagged} of ${good.length}`,
        baseline: '–',
        verdict: flagged === 0 ? 'met' : 'missed',
        table: countsOf([...good, ...wrong]),
        note: `${good.length + wrong.length} readings of simulated passes, in ${(ns / 1e9).toFixed(1)} s.`,
      },
      share('whole set, number reported', of('whole set', true), 'all', every(of('whole set', true))),
      share('whole set, no number, numbers differ', unlike, 'all', every(unlike)),
      share('feed only, number reported', of('feed only', true), 'none', null),
      share('feed only, no number', of('feed only', false), 'none', null),
      share('half-way, number reported', of('half-way', true), 'none', null),
      share('half-way, no number', of('half-way', false), 'none', null),
      {
        id: ID,
        what: 'weld from the start of travel to the flag',
        goal: '25–50 mm',
        ratio: null,
        subject: `${first.toFixed(1)}–${last.toFixed(1)} mm`,
        baseline: '–',
        verdict: first >= 25 && last <= 50 ? 'met' : 'missed',
      },
    ];
  },
};

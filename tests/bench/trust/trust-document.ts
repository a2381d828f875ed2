/** docs/trust.md, whole: written by the benchmark run and by nobody's hand. */

import { OVALITY_MM, RESTARTS, SET_UP, TRIMS } from '../../support/trust/good-variation.ts';
import type { Measured } from '../../support/trust/measure-trust.ts';
import { ONSET_MM, PASSES, RAMP_MM, WATCHED_MM, WHOLE_MM } from '../../support/trust/trust-plan.ts';
import type { Detection } from '../../support/trust/trust-summary.ts';
import type { Figure } from '../harness/figure.ts';
import { markdown } from '../harness/report.ts';
import {
  correlationTable,
  designTable,
  detectionTable,
  explanationTable,
  falseCallTable,
  rampTable,
  severityText,
  type Table,
  trimTable,
  unseenTable,
} from './trust-tables.ts';

export interface TrustFacts {
  readonly date: string;
  readonly node: string;
  readonly seconds: number;
}

const lines = ({ head, rows }: Table): string => markdown(head, rows).join('\n');

export function trustDocument(
  facts: TrustFacts,
  measured: Measured,
  figures: readonly Figure[],
  found: readonly Detection[],
): string {
  const { amount, trials, lessons, lessonsRefused } = measured;
  const goals: Table = {
    head: ['what', 'goal', 'measured', 'verdict'],
    rows: figures.map(({ what, goal, subject, verdict }) => [what, goal, subject, verdict]),
  };
  const notes = figures.flatMap(({ what, note }) => (note === undefined ? [] : [`- **${what}**: ${note}`]));
  return `# What the calls are worth

Written by \`npm run bench\` on ${facts.date} with Node ${facts.node} in ${Math.round(facts.seconds)} s; never by hand. ${trials.length} simulated passes
with fixed seeds went through the engine as it runs live, after ${lessons} others had taught it.

> Measured on a simulator. It says what the rules do with changes of known size under the variation described below;
> it does not say what your rigs vary by. The settings as shipped were chosen on passes of this kind, so these figures
> are kind to them; \`--full\` adds thousands that nothing was chosen on. A call is a word to look, no verdict, and **no call is not acceptance**.

## Goals

${lines(goals)}

${notes.join('\n')}

## False calls on good passes

${amount.good} good passes of ${WHOLE_MM} mm (half of 610 mm pipe), ${PASSES.join(', ')} in turn. Counted is a pass with at least one announced call.

${lines(falseCallTable(measured))}

Trims are the operator's: told, never announced.

${lines(trimTable(measured))}

## Designed and measured

${lines(designTable(measured))}

Run lengths are computed for windows that know nothing of each other. Good windows do: a pass is set up a little
differently from the last, and what wanders in the arc lasts longer than a window. Windows of 25 mm of good passes
before any trim or restart (A, V, mm/s, travel as read at the band, L/min), neighbours as their correlation:

${lines(correlationTable(measured))}

## Faults that begin in a pass

Severity is the shift of the mean of the main channel, in σ of all good windows of that rig and pass type (table
above): ${severityText}. How big a fault must be for that was found by measuring, for each pass type; the wrong pass is taken
at a quarter, half and all of the way to another pass's set. A fault begins at ${ONSET_MM[0]}–${ONSET_MM[1]} mm (wrong pass and wire size with the
first arc), stays, and is watched for ${WATCHED_MM} mm. Weld and time count from where it begins. Called means announced, or told as
a trim where travel changes inside its limits. ${amount.perFault} passes a line.

${lines(detectionTable(measured, found))}

## What it was said to look like

Of the first call that gives causes: how often the right one stands first, and among the at most three. Some cannot be
told apart by these channels, and the text of the call says so: a longer stick-out from wire slip where feed is read at
the motor; a bad earth from a source set lower and from a voltage sensor that reads low; wire slip read on the wire from
a feed set lower.

${lines(explanationTable(found))}

## Slow changes

Each grows evenly over ${RAMP_MM} mm until a limit has been crossed. Called before means: announced by another rule before
the value (its sliding mean of 1 s) goes beyond the limit.

${lines(rampTable(measured))}

## What shows in no channel

${lines(unseenTable(measured))}

## How good passes differ here

All of it is chosen as what a careful crew leaves (common practice, no source); rigs, joints and crews differ.

| what | how |
|---|---|
| tip distance | set ± ${SET_UP.tipDistanceMm} mm (σ) from pass to pass; one long wave of ± ${OVALITY_MM} mm (σ) along the pass (oval pipe, skewed band); wander of 0.15 mm, 2 s; weave |
| wire feed | ± ${SET_UP.feedPercent} % (σ) from pass to pass; wander of 0.4 %, 1 s |
| travel | ± ${SET_UP.travelPercent} % (σ) from pass to pass; wander of 0.6 %, 1.5 s |
| voltage | ± ${SET_UP.voltageV} V (σ) from pass to pass |
| gas | ± ${SET_UP.gasLPerMin} L/min (σ) from pass to pass |
| pipe temperature | 110 ± ${SET_UP.preheatK} °C (σ) at the start |
| arc | noise of spray and dip transfer, readings with their own noise (docs/simulator.md) |
| restarts | in ${percentText(RESTARTS.share)} of the good passes one stop of ${RESTARTS.pauseS[0]}–${RESTARTS.pauseS[1]} s, the tip distance then ± ${RESTARTS.tipDistanceMm} mm (σ) other |
| trims | in ${percentText(TRIMS.share)} of the good fill and cap passes travel ${TRIMS.percent[0]}–${TRIMS.percent[1]} % faster or slower from some place on, inside its limits |

Each trial has a baseline of its own: ten passes drawn from ${amount.learn} that were welded for its rig and pass type, restarts and trims
among them (${lessonsRefused} of ${lessons} taught nothing, mostly because something was called under the procedure's own baseline or out of range).
Limits are those of the example procedure. The same seeds give the same passes and the same figures on every machine.
\`npm run bench -- --only TRUST\` repeats this part, \`--full\` with more passes.
`;
}

const percentText = (share: number): string => `${(100 * share).toFixed(0)} %`;

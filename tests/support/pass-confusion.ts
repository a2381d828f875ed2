/** What the engine says of simulated passes: assigned right, and wrong at three severities. */

import type { EngineEffect } from '#core/pass/engine-api';
import type { Procedure } from '#core/procedure/procedure';
import type { SampleChunk } from '#core/sample/chunk';
import { assignmentOf, eventsOf, newEngine } from './engine-run.ts';
import {
  BAND_RADIUS_MM,
  EXAMPLE_NAMES,
  SEVERITIES,
  type Severity,
  setPointOf,
  simulatedPass,
  without,
  wrongSet,
} from './simulated-pass.ts';

export const NOTHING_SAID = 'nothing';

/** One simulated pass and what was said of it. */
export interface Trial {
  readonly assigned: string;
  /** Whose set ran. */
  readonly set: string;
  readonly severity: Severity | 'none';
  readonly programKnown: boolean;
  /** As told: "hot", "fill 1, fill 2 or fill 3", or NOTHING_SAID. */
  readonly said: string;
  /** Weld since travel started when it was told, mm; null where nothing was. */
  readonly travelledMm: number | null;
}

/** Effects of one recording under an assignment. */
export function effectsOf(chunk: SampleChunk, assigned: string, procedure: Procedure): EngineEffect[] {
  const engine = newEngine({ samplePeriodS: 0.02, referenceRadiusMm: BAND_RADIUS_MM });
  engine.assign(assignmentOf({ pass: assigned, procedure }));
  engine.push(chunk);
  engine.finish();
  return engine.drain();
}

function trial(chunk: SampleChunk, procedure: Procedure, about: Omit<Trial, 'said' | 'travelledMm'>): Trial {
  const events = eventsOf(effectsOf(chunk, about.assigned, procedure), 'passMismatch');
  if (events.length > 1) throw new Error(`${events.length} events: ${events.map(({ text }) => text)}`);
  const [event] = events;
  const said = event ? String(event.data['likelier']) : NOTHING_SAID;
  return { ...about, said, travelledMm: event ? Number(event.data['travelledMm']) : null };
}

/** The same simulated passes from a device that reports its program number and from one that does not. */
function both(
  chunk: SampleChunk,
  procedure: Procedure,
  about: Omit<Trial, 'said' | 'travelledMm' | 'programKnown'>,
) {
  return [
    trial(chunk, procedure, { ...about, programKnown: true }),
    trial(without(chunk, 'program'), procedure, { ...about, programKnown: false }),
  ];
}

/** Every example pass as it should be, once a seed. */
export function rightTrials(procedure: Procedure, seeds: readonly number[], lengthMm = 60): Trial[] {
  return seeds.flatMap(seed =>
    EXAMPLE_NAMES.flatMap(name => {
      const chunk = simulatedPass(setPointOf(name), { seed, lengthMm });
      return both(chunk, procedure, { assigned: name, set: name, severity: 'none' });
    }),
  );
}

/** Every example pass with every other's set, at each severity, once a seed. */
export function wrongTrials(procedure: Procedure, seeds: readonly number[]): Trial[] {
  const pairs = EXAMPLE_NAMES.flatMap(assigned =>
    EXAMPLE_NAMES.filter(name => name !== assigned).map(set => ({ assigned, set })),
  );
  return seeds.flatMap(seed =>
    SEVERITIES.flatMap(severity =>
      pairs.flatMap(pair => {
        const running = wrongSet(setPointOf(pair.assigned), setPointOf(pair.set), severity);
        return both(simulatedPass(running, { seed }), procedure, { ...pair, severity });
      }),
    ),
  );
}

export interface ConfusionTable {
  readonly columns: readonly string[];
  readonly rows: readonly { readonly set: string; readonly counts: readonly number[] }[];
}

/** Rows: whose set ran. Columns: what was said, anywhere in `among`. */
export function confusionOf(trials: readonly Trial[], among: readonly Trial[] = trials): ConfusionTable {
  const said = new Set(among.map(one => one.said));
  const known = [NOTHING_SAID, ...EXAMPLE_NAMES].filter(name => said.has(name));
  const columns = [...known, ...[...said].filter(name => !known.includes(name)).sort()];
  const rows = EXAMPLE_NAMES.filter(set => trials.some(one => one.set === set)).map(set => ({
    set,
    counts: columns.map(column => trials.filter(one => one.set === set && one.said === column).length),
  }));
  return { columns, rows };
}

/** Fills and hot passes as plain signals, under the example procedure. Invented values. */
import type { EngineEffect } from '#core/pass/engine-api';
import type { LabelledPassEngine } from '#core/pass/pass-engine';
import type { Procedure } from '#core/procedure/procedure';
import { assignmentOf, closedPasses, eventsOf, newEngine, type Reading, SignalWriter } from './engine-run.ts';
import { exampleProcedure } from './simulated-pass.ts';

export const EXAMPLE = exampleProcedure(process.cwd());
export const M_MIN = 1000 / 60;
export const OFF: Reading = {
  weldingCurrent: 0,
  arcVoltage: 0,
  wireFeedSpeed: 0,
  travelSpeed: 0,
  program: 3,
};
export const STANDING: Reading = {
  ...OFF,
  weldingCurrent: 236,
  arcVoltage: 24,
  wireFeedSpeed: 10.27 * M_MIN,
};
export const FILL: Reading = { ...STANDING, travelSpeed: 7.5 };
export const HOT: Reading = { ...STANDING, wireFeedSpeed: 11.46 * M_MIN, travelSpeed: 17.5, program: 2 };
export const without = (
  { ...reading }: Reading,
  channel: 'travelSpeed' | 'wireFeedSpeed' | 'program',
): Reading => Object.fromEntries(Object.entries(reading).filter(([name]) => name !== channel));

/** Feeds stretches of [seconds, reading]; the arc burns standing for half a second before the first. */
export function weld(
  engine: LabelledPassEngine,
  stretches: readonly (readonly [number, Reading])[],
  periodS = 0.01,
): EngineEffect[] {
  const writer = new SignalWriter({ periodS });
  for (const [seconds, reading] of stretches) engine.push(writer.stretch(seconds, reading));
  return engine.drain();
}

export function engineFor(pass = 'fill 1', procedure: Procedure | null = EXAMPLE): LabelledPassEngine {
  const engine = newEngine();
  engine.assign(assignmentOf({ pass, procedure }));
  return engine;
}

export const told = (effects: readonly EngineEffect[]) => eventsOf(effects, 'passMismatch');
export const reasonsOf = (effects: readonly EngineEffect[]) =>
  closedPasses(effects)[0]!.pass.reasons.filter(({ code }) => /looksLike|passNotCompared/.test(code));

/** A stored pass run through the engine again: the engine that ran live, over the stored samples of the pass. */
import type { PassMessage } from '#core/messages/pass';
import type { EngineAssignment, EngineEffect, EngineSettings } from '#core/pass/engine-api';
import { createPassEngine, DEFAULT_ENGINE_SETTINGS, type EngineOptions } from '#core/pass/pass-engine';
import { sliceByTime } from '#core/sample/chunk';
import { gapsIn } from '#core/series/coverage';
import type { DashboardStore } from '../store/store.ts';

export type ClosedPass = Extract<EngineEffect, { kind: 'pass' }>;

export interface Rerun {
  readonly kind: 'rerun';
  readonly closed: ClosedPass;
  /** Samples are missing inside the pass. */
  readonly incomplete: boolean;
}

/** The pass as the engine says it now, or one sentence why it cannot. */
export function rerunPass(
  pass: PassMessage,
  assignment: EngineAssignment,
  store: DashboardStore,
  settings: Partial<EngineSettings>,
  options: EngineOptions = {},
): Rerun | { readonly kind: 'not'; readonly why: string } {
  const { site, rig, stream, startUs, endUs } = pass;
  const span = store.sampleSpan({ site, rig }, { kind: 'record', fromUs: startUs, toUs: endUs, stream });
  if (!span) {
    return { kind: 'not', why: 'No samples of the pass are stored here: it cannot be judged again.' };
  }
  const inside = span.chunks.filter(chunk => chunk.lastUs >= startUs && chunk.firstUs <= endUs);
  const periodUs = inside.find(chunk => chunk.periodUs !== null)?.periodUs ?? null;
  const samplePeriodS = periodUs === null ? null : periodUs / 1e6;
  const engine = createPassEngine({ ...DEFAULT_ENGINE_SETTINGS, samplePeriodS, ...settings }, options);
  engine.assign(assignment);
  let letGo = false;
  for (const chunk of inside) {
    const samples = store.chunkSamples(chunk);
    if (samples) engine.push(sliceByTime(samples, startUs, endUs));
    else letGo = true;
  }
  engine.finish();
  const closed = engine
    .drain()
    .filter((effect): effect is ClosedPass => effect.kind === 'pass' && effect.state === 'closed')
    .reduce<ClosedPass | null>(
      (most, one) => (most === null || one.pass.arcTimeS > most.pass.arcTimeS ? one : most),
      null,
    );
  if (!closed && letGo) {
    return { kind: 'not', why: 'No samples of the pass are stored here: it cannot be judged again.' };
  }
  if (!closed) return { kind: 'not', why: 'The stored samples show no arc: it cannot be judged again.' };
  return { kind: 'rerun', closed, incomplete: letGo || gapsIn(span.chunks, startUs, endUs).length > 0 };
}

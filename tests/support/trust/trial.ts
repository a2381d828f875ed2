/** One simulated pass through the engine, as live: what was called, when and where, and what it was said to look like. */
import type { EngineEffect } from '#core/pass/engine-api';
import type { WeldedPass } from '../simulated-pass.ts';
import type { Trim } from './good-variation.ts';
import type { RigName, SeverityName } from './trust-faults.ts';

/** Every rule that speaks, in the order of the tables; a trim is told and never announced. */
export const RULES = ['outOfRange', 'wrongPass', 'drifting', 'projected', 'pattern', 'trim'] as const;
export type Rule = (typeof RULES)[number];

export interface TrialCall {
  readonly rule: Rule;
  readonly quantity: string | null;
  /** Record time and true weld of the pass when it was called. */
  readonly atS: number;
  readonly atMm: number;
  /** For `outOfRange`: when the value went beyond its limit. */
  readonly sinceS: number | null;
  readonly sinceMm: number | null;
  readonly causes: readonly string[];
}

export interface Trial {
  readonly kind: 'good' | 'fault' | 'ramp';
  readonly fault: string | null;
  readonly severity: SeverityName | null;
  readonly rig: RigName;
  readonly pass: string;
  readonly seed: number;
  readonly lengthMm: number;
  /** Where the fault began, true weld and record time; null: none. */
  readonly onsetMm: number | null;
  readonly onsetS: number | null;
  readonly restartMm: number | null;
  readonly trim: Trim | null;
  readonly calls: readonly TrialCall[];
}

/** Record time, s, at which the pass had welded `mm`. */
export function timeAt({ chunk, alongMm }: WeldedPass, mm: number): number {
  const at = alongMm.findIndex(along => along > mm);
  return chunk.tUs[at < 0 ? chunk.n - 1 : at]! / 1e6;
}

function weldAt({ chunk, alongMm }: WeldedPass, tUs: number): number {
  let at = chunk.tUs.findIndex(t => t >= tUs);
  if (at < 0) at = chunk.n - 1;
  return alongMm[at]!;
}

/** All that was called, in the order in which it was. */
export function callsOf(effects: readonly EngineEffect[], welded: WeldedPass): TrialCall[] {
  const originUs = welded.chunk.tUs[0]!;
  const found: TrialCall[] = [];
  const add = (rule: Rule, quantity: string | null, tUs: number, more: Partial<TrialCall> = {}): void => {
    found.push({
      rule,
      quantity,
      atS: tUs / 1e6,
      atMm: weldAt(welded, tUs),
      sinceS: null,
      sinceMm: null,
      causes: [],
      ...more,
    });
  };
  for (const effect of effects) {
    if (effect.kind === 'pass') {
      if (effect.state !== 'closed') continue;
      for (const call of effect.pass.drift?.calls ?? []) {
        const causes = call.looksLike.map(({ cause }) => cause);
        add(call.rule, call.quantity, originUs + call.calledS * 1e6, { causes });
      }
    } else if (effect.type === 'outOfRangeStart') {
      const { quantity, fromUs } = effect.data;
      const sinceUs = Number(fromUs);
      add('outOfRange', String(quantity), effect.tUs, {
        sinceS: sinceUs / 1e6,
        sinceMm: weldAt(welded, sinceUs),
      });
    } else if (effect.type === 'passMismatch' && String(effect.data['likelier'] ?? '') !== '') {
      add('wrongPass', null, effect.tUs, { causes: ['wrong pass'] });
    }
  }
  return found.sort((a, b) => a.atS - b.atS);
}

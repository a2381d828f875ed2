import type { DriftChange } from '../drift/call-list.ts';
import { endText } from '../drift/call-text.ts';
import type { EngineEffect } from './engine-api.ts';

/** A change along the weld begins, ends, or is a trim. Times µs of record time, places mm along the side. */
export function driftEvent(
  { kind, call }: DriftChange,
  at: { readonly tUs: number; readonly passIndex: number; readonly clockAt: (mm: number) => number | null },
): EngineEffect {
  const { number, rule, quantity, unit, direction, shape, fromUs, fromMm, toUs, toMm } = call;
  const toClock = toMm === null ? null : at.clockAt(toMm);
  return {
    kind: 'event',
    type: kind === 'began' ? 'driftStart' : kind === 'ended' ? 'driftEnd' : 'trim',
    tUs: at.tUs,
    passIndex: at.passIndex,
    text: kind === 'ended' ? endText({ number, rule, quantity, toMm, toClock }) : call.text,
    data: {
      number,
      rule,
      quantity,
      unit,
      direction,
      shape,
      fromUs,
      fromMm,
      fromClock: at.clockAt(fromMm),
      toUs,
      toMm,
      toClock,
      baseline: call.baseline,
      change: call.change,
      changeSigma: call.changeSigma,
      crossingMm: call.crossing?.atMm ?? null,
      depositChangePercent: call.depositChangePercent,
      looksLike: call.looksLike[0]?.cause ?? null,
    },
  };
}

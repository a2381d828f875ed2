import type { EngineEffect } from './engine-api.ts';

/** Nothing arrived between `fromUs` and `toUs`. */
export function signalGap(fromUs: number, toUs: number, passIndex: number | null): EngineEffect {
  const text = `No samples for ${seconds(fromUs, toUs)} s.`;
  return { kind: 'event', type: 'signalGap', tUs: toUs, passIndex, text, data: { fromUs, toUs } };
}

/** The source only repeated itself between `fromUs` and `toUs`. */
export function signalHeld(fromUs: number, toUs: number, passIndex: number | null): EngineEffect {
  const text = `Current and voltage repeated one reading for ${seconds(fromUs, toUs)} s: taken as no data.`;
  return { kind: 'event', type: 'signalHeld', tUs: toUs, passIndex, text, data: { fromUs, toUs } };
}

function seconds(fromUs: number, toUs: number): string {
  return ((toUs - fromUs) / 1e6).toFixed(3);
}

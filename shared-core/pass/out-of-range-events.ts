import type { EngineEffect } from './engine-api.ts';
import type { OutOfRangeSpan } from './out-of-range-watch.ts';

export function outOfRangeStart(span: OutOfRangeSpan, tUs: number, passIndex: number): EngineEffect {
  const { quantity, unit, min, max } = span.limit;
  const text = `${quantity} out of range.`;
  const data = { quantity, unit, value: span.value, min, max, fromUs: span.fromUs, fromMm: span.fromMm };
  return { kind: 'event', type: 'outOfRangeStart', tUs, passIndex, text, data };
}

export function outOfRangeEnd(span: OutOfRangeSpan, tUs: number, passIndex: number): EngineEffect {
  const { limit, extreme, fromUs, toUs, fromMm, toMm } = span;
  const text = `${limit.quantity} no longer out of range.`;
  const data = { quantity: limit.quantity, unit: limit.unit, extreme, fromUs, toUs, fromMm, toMm };
  return { kind: 'event', type: 'outOfRangeEnd', tUs, passIndex, text, data };
}

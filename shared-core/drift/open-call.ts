import type { CallQuantity, DriftCall, Drifting, DriftRule, LooksLike } from '../messages/drift.ts';
import { callText } from './call-text.ts';

/** A change while its pass grows; times µs of record time, places mm along the side. */
export interface OpenCall {
  readonly number: number;
  readonly rule: DriftRule;
  readonly quantity: CallQuantity | null;
  readonly unit: string | null;
  direction: 'high' | 'low' | null;
  shape: 'step' | 'ramp' | null;
  fromUs: number;
  fromMm: number;
  readonly calledUs: number;
  readonly calledMm: number;
  toUs: number | null;
  toMm: number | null;
  /** What it differs from: what the pass itself had, this rig's good passes, or the procedure's nominal. */
  readonly against: 'itself' | 'rig' | 'procedure';
  readonly baseline: number | null;
  change: number | null;
  changeSigma: number | null;
  /** The level now, for the live view: as `change`. */
  now: number | null;
  nowSigma: number | null;
  crossing: { limit: 'min' | 'max'; value: number; atMm: number; atUs: number } | null;
  contributions: DriftCall['contributions'];
  depositChangePercent: number | null;
  looksLike: LooksLike[];
  /** As it was told when it was called. */
  text: string;
}

export type ClockAt = (alongMm: number) => number | null;

/** The call as it stands in the record of its pass, `originUs` being second 0. */
export function callRecord(call: OpenCall, originUs: number, clockAt: ClockAt): DriftCall {
  const toS = (us: number): number => (us - originUs) / 1e6;
  const { crossing, against, fromUs, calledUs, toUs, now: _, nowSigma: __, ...kept } = call;
  const record: DriftCall = {
    ...kept,
    fromS: toS(fromUs),
    calledS: toS(calledUs),
    toS: toUs === null ? null : toS(toUs),
    fromClock: clockAt(call.fromMm),
    toClock: call.toMm === null ? null : clockAt(call.toMm),
    crossing: crossing && {
      limit: crossing.limit,
      value: crossing.value,
      atMm: crossing.atMm,
      atS: toS(crossing.atUs),
    },
  };
  return { ...record, text: callText({ ...record, against }) };
}

export function callLive(call: OpenCall, alongMm: number): Drifting {
  const { number, rule, quantity, unit, direction, crossing, text, looksLike } = call;
  return {
    number,
    rule,
    quantity,
    unit,
    direction,
    sinceUs: call.fromUs,
    sincePositionMm: call.fromMm,
    change: call.now,
    changeSigma: call.nowSigma,
    crossingInMm: crossing === null ? null : Math.max(0, crossing.atMm - alongMm),
    text,
    looksLike,
  };
}

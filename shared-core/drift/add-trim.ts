import type { CallContext, CallList, DriftChange, Place } from './call-list.ts';
import type { OpenCall } from './open-call.ts';

/** A trim holds until the same setting is trimmed again. */
export function addTrim(
  list: CallList,
  trim: {
    readonly quantity: OpenCall['quantity'];
    readonly from: Place;
    readonly was: number;
    readonly is: number;
    readonly sigma: number | null;
    readonly depositChangePercent: number | null;
  },
  context: CallContext,
): DriftChange {
  const { quantity, from, was, is, sigma, depositChangePercent } = trim;
  const last = list.all.findLast(call => call.rule === 'trim' && call.quantity === quantity);
  if (last) list.end(last, from);
  const change = is - was;
  const call = list.add(
    {
      rule: 'trim',
      quantity,
      against: 'itself',
      baseline: was,
      direction: change < 0 ? 'low' : 'high',
      shape: 'step',
      from,
      change,
      changeSigma: sigma === null ? null : change / sigma,
      depositChangePercent,
    },
    context,
  );
  return { kind: 'trim', call };
}

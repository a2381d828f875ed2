/** Arcs, stops and events of a pass on an axis of place or time, cut to what is shown. */
import type { ReviewPass } from '#core/messages/api-review';
import type { StretchAxis } from './channel-frame.ts';

export interface ArcMarks {
  readonly arcs: readonly { readonly from: number; readonly to: number }[];
  readonly stops: readonly number[];
  readonly events: readonly { readonly id: string; readonly at: number }[];
}

export function arcMarks(pass: ReviewPass, axis: StretchAxis): ArcMarks {
  const { message } = pass;
  const { startS, endS, stops } = message.pass;
  const usOf = (s: number): number => message.startUs + (s - startS) * 1e6;
  const inside = (at: number | null): at is number => at !== null && at >= axis.from && at <= axis.to;
  // A pass from arc to arc: the stops are what lies between.
  const bounds = [startS, ...stops.flatMap(stop => [stop.startS, stop.endS]), endS];
  const arcs: { from: number; to: number }[] = [];
  for (let i = 0; i + 1 < bounds.length; i += 2) {
    const [from, to] = [axis.ofUs(usOf(bounds[i]!)), axis.ofUs(usOf(bounds[i + 1]!))];
    const cut = {
      from: Math.max(axis.from, from ?? axis.from),
      to: Math.min(axis.to, to ?? axis.to),
    };
    if (cut.to > cut.from) arcs.push(cut);
  }
  return {
    arcs,
    stops: stops.map(stop => axis.ofUs(usOf(stop.startS))).filter(inside),
    events: pass.events.flatMap(({ id, tS }) => {
      const at = axis.ofUs(message.startUs + tS * 1e6);
      return inside(at) ? [{ id, at }] : [];
    }),
  };
}

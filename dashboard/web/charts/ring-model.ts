import type { JointRing } from '#core/messages/api';
import type { Side } from '#core/messages/common';
import { degreesOfClock } from '#core/position/clock-position';
import type { SideView } from '../data/side-view.ts';
import { type Arc, layerRadius, spanArc, spread, uncertaintyArc } from './ring-geometry.ts';

export interface RingLayer {
  readonly pass: string;
  readonly radius: number;
  readonly width: number;
  readonly welded: readonly RingSpan[];
  readonly unseen: readonly Arc[];
  readonly out: readonly Arc[];
}
export interface RingSpan extends Arc {
  /** The layer this side is welding now, drawn dark. */
  readonly current: boolean;
}
export interface RingMarker {
  readonly side: Side;
  readonly pass: string;
  readonly degrees: number;
  readonly clock: number;
  readonly radius: number;
  readonly uncertaintyMm: number;
  readonly uncertainty: Arc | null;
  readonly kind: 'arcOn' | 'arcOff' | 'lost';
}
export interface RingFlag {
  readonly number: number;
  readonly pass: string;
  readonly side: Side;
  readonly fromMm: number;
  readonly toMm: number;
  readonly quantity: string;
  readonly degrees: number;
  readonly radius: number;
  /** Where its diamond stands, moved aside where others are near. */
  readonly labelDegrees: number;
  readonly live: boolean;
}
export interface RingModel {
  readonly joint: string;
  readonly outsideDiameterMm: number | null;
  readonly layers: readonly RingLayer[];
  readonly markers: readonly RingMarker[];
  readonly flags: readonly RingFlag[];
}

type Span = { readonly fromMm: number; readonly toMm: number };
const HOLE_MIN_MM = 1;

/** What lies between recorded spans of one side and pass. */
function holes(spans: readonly Span[]): Span[] {
  const sorted = [...spans].sort((a, b) => a.fromMm - b.fromMm);
  const found: Span[] = [];
  let reached = sorted[0]?.toMm ?? 0;
  for (const span of sorted.slice(1)) {
    if (span.fromMm - reached > HOLE_MIN_MM) found.push({ fromMm: reached, toMm: span.fromMm });
    reached = Math.max(reached, span.toMm);
  }
  return found;
}

/** Millimetres along a side from 12, in its own direction, of its present position. */
function alongFrom12(view: SideView, side: Side, outsideDiameterMm: number): number | null {
  if (view.position === null) return null;
  const around = Math.PI * outsideDiameterMm;
  const mm = view.position.circumferentialMm;
  const own = side === 'B' ? mm : around - mm;
  // Just behind 12 is a start before the top, not nearly a whole turn of weld.
  return own > around * 0.9 ? own - around : own;
}

/** The ring of one joint: what is stored of it, and what its sides are doing now. */
export function ringModel(
  joint: string,
  ring: JointRing | null,
  sides: readonly SideView[],
  procedurePasses: readonly string[],
  procedureDiameterMm: number | null,
): RingModel {
  const diameter = ring?.outsideDiameterMm ?? procedureDiameterMm ?? sides[0]?.outsideDiameterMm ?? null;
  const names = [...procedurePasses];
  for (const name of [
    ...(ring?.layers.map(layer => layer.pass) ?? []),
    ...sides.map(s => s.work?.pass ?? ''),
  ]) {
    if (name !== '' && !names.includes(name)) names.push(name);
  }
  const flags: Omit<RingFlag, 'labelDegrees'>[] = [];
  const layers = names.map((pass, index): RingLayer => {
    const place = layerRadius(index, names.length);
    if (diameter === null) return { pass, ...place, welded: [], unseen: [], out: [] };
    const welded: RingSpan[] = [];
    const unseen: Arc[] = [];
    const out: Arc[] = [];
    for (const side of ['A', 'B'] as const) {
      const stored =
        ring?.layers.find(layer => layer.pass === pass)?.sides.filter(s => s.side === side) ?? [];
      const spans: Span[] = stored.flatMap(s => s.spans);
      const view = sides.find(s => s.work?.side === side && s.work.pass === pass);
      const head = view === undefined ? null : headSpan(view, side, spans, diameter);
      const arc = (span: Span): Arc => spanArc(side, span.fromMm, span.toMm, diameter);
      welded.push(
        ...spans.map(span => ({ ...arc(span), current: view !== undefined })),
        ...(head === null ? [] : [{ ...arc(head), current: true }]),
      );
      unseen.push(...holes(spans).map(arc));
      if (view !== undefined) unseen.push(...ownUnseen(view, side, diameter).map(arc));
      const now = view === undefined ? [] : liveFlags(view, side, diameter);
      const before = stored.flatMap(s => s.outOfRange).filter(flag => !now.some(same(flag)));
      for (const flag of [...before, ...now]) {
        const { fromDeg, toDeg } = arc(flag);
        out.push({ fromDeg, toDeg });
        flags.push({
          ...flag,
          number: 0,
          pass,
          side,
          radius: place.radius,
          degrees: (fromDeg + toDeg) / 2,
          live: now.includes(flag),
        });
      }
    }
    return { pass, ...place, welded, unseen, out };
  });
  const label = spread(
    flags.map(flag => flag.degrees),
    16,
  );
  return {
    joint,
    outsideDiameterMm: diameter,
    layers,
    markers: markersOf(sides, layers, diameter),
    flags: flags.map((flag, i) => ({ ...flag, number: i + 1, labelDegrees: label[i] ?? flag.degrees })),
  };
}

type Flagged = Span & { readonly quantity: string };

/** One excursion that is both stored and going on is drawn once. */
const same =
  (stored: Flagged) =>
  (live: Flagged): boolean =>
    live.quantity === stored.quantity && stored.fromMm < live.toMm && live.fromMm < stored.toMm + 1;

/** From the end of what is stored to the arc: seconds old, so shown as welded unless this page saw it missing. */
function headSpan(view: SideView, side: Side, spans: readonly Span[], diameter: number): Span | null {
  const now = alongFrom12(view, side, diameter);
  if (now === null || view.position === null) return null;
  const start = now - view.position.alongMm;
  const reached = Math.max(start, ...spans.map(span => span.toMm));
  return now > reached ? { fromMm: reached, toMm: now } : null;
}

function ownUnseen(view: SideView, side: Side, diameter: number): Span[] {
  const now = alongFrom12(view, side, diameter);
  if (now === null || view.position === null) return [];
  const start = now - view.position.alongMm;
  return view.unseenMm.map(span => ({ fromMm: start + span.fromMm, toMm: start + span.toMm }));
}

function liveFlags(view: SideView, side: Side, diameter: number): Flagged[] {
  const now = alongFrom12(view, side, diameter);
  if (now === null) return [];
  return view.outOfRange.map(({ quantity, lengthMm }) => ({
    quantity,
    fromMm: now - Math.max(lengthMm ?? 0, 1),
    toMm: now,
  }));
}

function markersOf(
  sides: readonly SideView[],
  layers: readonly RingLayer[],
  diameter: number | null,
): RingMarker[] {
  return sides.flatMap(view => {
    const layer = layers.find(({ pass }) => pass === view.work?.pass);
    if (view.work === null || view.position === null || layer === undefined) return [];
    const degrees = degreesOfClock(view.position.clock);
    const { uncertaintyMm, clock } = view.position;
    return {
      side: view.work.side,
      pass: view.work.pass,
      degrees,
      clock,
      radius: layer.radius,
      uncertaintyMm,
      uncertainty: diameter === null ? null : uncertaintyArc(degrees, uncertaintyMm, diameter),
      kind: view.feed.cause !== null ? 'lost' : view.feed.status === 'arcOn' ? 'arcOn' : 'arcOff',
    } as const;
  });
}

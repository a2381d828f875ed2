/**
 * Truth and marks of a lesson on the pipe unrolled as in unrolled-geometry.ts: along x the circumference from 12 o'clock
 * clockwise looking downstream, one row a pass, the outermost on top.
 */
import { type SideFrame, stretchOfSide } from '#core/indication/covered';
import type { Truth } from '#core/training/control';
import type { Mark } from '#core/training/session';
import { type Piece, piecesOf } from './unrolled-geometry.ts';

type Window = Truth['windows'][number];

/** Where a side starts; null where that is not known. */
export type FrameOf = (rig: string, pass: string) => Omit<SideFrame, 'uncertaintyMm'> | null;

/** A mark with the pass that ran at its moment. */
export interface MarkAt {
  readonly mark: Mark;
  readonly pass: string;
}

export interface RigAt {
  readonly rig: string;
  readonly pass: string;
  readonly alongMm: number;
}

export interface TruthStripModel {
  /** Rows from the top. */
  readonly passes: readonly string[];
  readonly windows: readonly {
    readonly window: Window;
    readonly row: number;
    readonly pieces: readonly Piece[];
  }[];
  readonly marks: readonly { readonly mark: Mark; readonly row: number; readonly share: number }[];
  readonly rigs: readonly { readonly rig: string; readonly row: number; readonly share: number }[];
  /** Stretches without a place. */
  readonly unplaced: number;
}

interface TruthStripInput {
  readonly windows: readonly Window[];
  readonly marks: readonly MarkAt[];
  readonly rigs: readonly RigAt[];
  /** In the order they are welded. */
  readonly order: readonly string[];
  readonly frameOf: FrameOf;
  /** A stretch to the end of its pass ends here, mm. */
  readonly endMm: (rig: string, pass: string) => number;
}

export function truthStrip(input: TruthStripInput): TruthStripModel {
  const { frameOf, endMm } = input;
  const named = new Set([...input.windows, ...input.marks, ...input.rigs].map(({ pass }) => pass));
  const passes = [...new Set([...input.order.filter(pass => named.has(pass)), ...named])].reverse();
  const placeOf = (rig: string, pass: string, mm: number): number | null => {
    const frame = frameOf(rig, pass);
    if (frame === null) return null;
    return stretchOfSide({ ...frame, uncertaintyMm: null }, mm, mm).fromDegrees / 360;
  };
  const windows = input.windows.flatMap(window => {
    const { rig, pass, fromMm, toMm } = window;
    const frame = frameOf(rig, pass);
    if (frame === null) return [];
    const to = Math.max(fromMm, toMm ?? endMm(rig, pass));
    const { fromDegrees, spanDegrees } = stretchOfSide({ ...frame, uncertaintyMm: null }, fromMm, to);
    return [{ window, row: passes.indexOf(pass), pieces: piecesOf(fromDegrees, spanDegrees) }];
  });
  return {
    passes,
    windows,
    marks: input.marks.flatMap(({ mark, pass }) => {
      const share = mark.alongMm === null ? null : placeOf(mark.rig, pass, mark.alongMm);
      return share === null ? [] : [{ mark, row: passes.indexOf(pass), share }];
    }),
    rigs: input.rigs.flatMap(({ rig, pass, alongMm }) => {
      const share = placeOf(rig, pass, alongMm);
      return share === null ? [] : [{ rig, row: passes.indexOf(pass), share }];
    }),
    unplaced: input.windows.length - windows.length,
  };
}

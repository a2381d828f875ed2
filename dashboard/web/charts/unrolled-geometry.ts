/**
 * The joint unrolled: along x the circumference from 12 o'clock clockwise looking downstream, so that side B runs from
 * the left to the middle and side A from the right to the middle; along y the layers, the outermost on top.
 */
import { stretchOfSide } from '#core/indication/covered';
import type { JointReview, ReviewPass } from '#core/messages/api-review';
import { placeAt, placeMap } from './place-map.ts';

/** A stretch in shares of the circumference, cut where it passes 12 o'clock. */
export interface Piece {
  readonly from: number;
  readonly to: number;
}

export interface UnrolledPass {
  readonly pass: ReviewPass;
  /** Row from the top. */
  readonly row: number;
  readonly pieces: readonly Piece[];
  readonly starts: readonly number[];
  readonly deviations: readonly { readonly number: number; readonly pieces: readonly Piece[] }[];
  readonly changes: readonly { readonly number: number; readonly pieces: readonly Piece[] }[];
  /** Stretches of which nothing was recorded. */
  readonly gaps: readonly Piece[];
}

/** A row of the strip: a layer, or what was welded into it again by a ruling. */
export interface UnrolledLayer {
  readonly pass: string;
  readonly isRepair: boolean;
}

export interface UnrolledIndication {
  readonly label: string;
  readonly pieces: readonly Piece[];
  readonly around: readonly Piece[];
  /** Rows at its depth; all where depths are not known. */
  readonly rows: readonly number[];
}

export interface Unrolled {
  /** Rows from the top: repairs, then the outermost layer. */
  readonly layers: readonly UnrolledLayer[];
  readonly passes: readonly UnrolledPass[];
  readonly indications: readonly UnrolledIndication[];
  /** Passes without a place, which no strip can show. */
  readonly unplaced: readonly ReviewPass[];
}

export function piecesOf(fromDegrees: number, spanDegrees: number): Piece[] {
  const from = fromDegrees / 360;
  const to = from + Math.min(1, spanDegrees / 360);
  return to <= 1
    ? [{ from, to }]
    : [
        { from, to: 1 },
        { from: 0, to: to - 1 },
      ];
}

export function unroll(review: JointReview): Unrolled {
  const { outsideDiameterMm } = review;
  const names = [
    ...new Set([
      ...(review.procedure?.passes ?? []),
      ...review.passes.flatMap(({ work }) => (work.pass === null ? [] : [work.pass])),
    ]),
  ];
  const repaired = new Set(
    review.passes.flatMap(({ work, repairOf }) => (repairOf === null ? [] : (work.pass ?? []))),
  );
  const layers: UnrolledLayer[] = [
    ...names.map(pass => ({ pass, isRepair: false })),
    ...names.filter(pass => repaired.has(pass)).map(pass => ({ pass, isRepair: true })),
  ].reverse();
  let number = 0;
  const passes: UnrolledPass[] = [];
  const unplaced: ReviewPass[] = [];
  for (const pass of review.passes) {
    const numbers = pass.message.deviations.map(() => ++number);
    const { side } = pass.work;
    const { startPositionMm, endPositionMm, stops, drift } = pass.message.pass;
    const row = layers.findIndex(
      layer => layer.pass === pass.work.pass && layer.isRepair === (pass.repairOf !== null),
    );
    if (
      side === null ||
      pass.startDegrees === null ||
      outsideDiameterMm === null ||
      startPositionMm === null ||
      endPositionMm === null ||
      row < 0
    ) {
      unplaced.push(pass);
      continue;
    }
    const frame = { side, startDegrees: pass.startDegrees, outsideDiameterMm, uncertaintyMm: null };
    const at = (fromMm: number, toMm: number): Piece[] => {
      const { fromDegrees, spanDegrees } = stretchOfSide(frame, fromMm, toMm);
      return piecesOf(fromDegrees, spanDegrees);
    };
    const placeOf = (mm: number): number => at(mm, mm)[0]!.from;
    const map = placeMap(pass);
    passes.push({
      pass,
      row,
      pieces: at(startPositionMm, endPositionMm),
      starts: [startPositionMm, ...stops.flatMap(({ positionMm }) => positionMm ?? [])].map(placeOf),
      deviations: pass.message.deviations.flatMap(({ fromMm, toMm }, i) =>
        fromMm === null || toMm === null ? [] : [{ number: numbers[i]!, pieces: at(fromMm, toMm) }],
      ),
      changes: (drift?.calls ?? []).flatMap(call =>
        call.fromMm === null
          ? []
          : [{ number: call.number, pieces: at(call.fromMm, call.toMm ?? endPositionMm) }],
      ),
      gaps: pass.quality.gaps.flatMap(({ fromS, toS }) => {
        const [from, to] = [placeAt(map, fromS), placeAt(map, toS)];
        return from === null || to === null ? [] : at(from, to);
      }),
    });
  }
  const indications = review.indications.flatMap(({ label, place, covered }): UnrolledIndication[] => {
    if (place === null || outsideDiameterMm === null) return [];
    const more = (360 * place.uncertaintyMm) / (Math.PI * outsideDiameterMm);
    const atDepth = new Set(covered.filter(one => one.atDepth).map(({ passId }) => passId));
    const rows = passes.filter(({ pass }) => atDepth.has(pass.message.passId)).map(({ row }) => row);
    return [
      {
        label,
        pieces: piecesOf(place.fromDegrees, place.spanDegrees),
        around: piecesOf(
          (((place.fromDegrees - more) % 360) + 360) % 360,
          Math.min(360, place.spanDegrees + 2 * more),
        ),
        rows: rows.length > 0 ? [...new Set(rows)] : layers.map((_, i) => i),
      },
    ];
  });
  return { layers, passes, indications, unplaced };
}

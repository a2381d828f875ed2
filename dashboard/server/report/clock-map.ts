/**
 * The joint as it stands on the pipe, looking downstream: layers as rings from the root inside to the cap outside,
 * each welded stretch filled, deviations as numbered marks, starts and stops as ticks, indications as outlined
 * stretches inside with the uncertainty of their place, their labels beside the rings at the end of a line. Reads in black and white.
 */

import { stretchOfSide } from '#core/indication/covered';
import type { JointReview, ReviewPass } from '#core/messages/api-review';
import type { Side } from '#core/messages/common';
import { labelColumn } from './label-column.ts';
import { FONTS, type Sheet } from './sheet.ts';

const SIZE = 250;
const OUTER = 98;
const INNER = 46;
/** Between two labels of indications, and how wide they may be. */
const LABEL_GAP = 8;
const COLUMN = 100;
const HOURS = [12, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11] as const;
const DONE = '#9a9a9a';
const PALE = '#ededed';
const INK = '#000000';

/** A deviation as it is numbered on the map and in the table. */
export interface NumberedDeviation {
  readonly number: number;
  readonly pass: ReviewPass;
  readonly index: number;
}

export function numberedDeviations(review: JointReview): NumberedDeviation[] {
  const all = review.passes.flatMap(pass => pass.message.deviations.map((_, index) => ({ pass, index })));
  return all.map((one, i) => ({ number: i + 1, ...one }));
}

export function drawClockMap(sheet: Sheet, review: JointReview): void {
  const { doc, left, width } = sheet;
  sheet.need(SIZE + 14);
  const top = doc.y;
  const centre = { x: left + width / 2, y: top + SIZE / 2 };
  const layers = review.procedure?.passes ?? [
    ...new Set(review.passes.flatMap(({ work }) => work.pass ?? [])),
  ];
  const step = (OUTER - INNER) / Math.max(1, layers.length);
  const at = (degrees: number, radius: number): [number, number] => {
    const angle = ((degrees - 90) * Math.PI) / 180;
    return [centre.x + radius * Math.cos(angle), centre.y + radius * Math.sin(angle)];
  };
  const ring = (from: number, span: number, inner: number, outer: number): void => {
    const steps = Math.max(2, Math.ceil(span / 3));
    const edge = (radius: number, back: boolean) =>
      Array.from({ length: steps + 1 }, (_, i) => at(from + (span * (back ? steps - i : i)) / steps, radius));
    doc.polygon(...[...edge(outer, false), ...edge(inner, true)]);
  };
  doc.save().lineWidth(0.4);
  layers.forEach((_, i) => {
    ring(0, 360, INNER + i * step + 0.6, INNER + (i + 1) * step - 0.6);
    doc.fillColor(PALE).fill();
  });
  const frameOf = (pass: ReviewPass) => {
    const { side } = pass.work;
    if (side === null || pass.startDegrees === null || review.outsideDiameterMm === null) return null;
    return {
      side: side as Side,
      startDegrees: pass.startDegrees,
      outsideDiameterMm: review.outsideDiameterMm,
      uncertaintyMm: pass.message.pass.positionUncertaintyMm,
    };
  };
  const radiiOf = (pass: ReviewPass): readonly [number, number] | null => {
    const layer = pass.work.pass === null ? -1 : layers.indexOf(pass.work.pass);
    return layer < 0 ? null : [INNER + layer * step + 0.6, INNER + (layer + 1) * step - 0.6];
  };
  for (const pass of review.passes) {
    const frame = frameOf(pass);
    const radii = radiiOf(pass);
    const { startPositionMm, endPositionMm, stops } = pass.message.pass;
    if (!frame || !radii || startPositionMm === null || endPositionMm === null) continue;
    const { fromDegrees, spanDegrees } = stretchOfSide(frame, startPositionMm, endPositionMm);
    ring(fromDegrees, spanDegrees, ...radii);
    doc.fillColor(DONE).fill();
    for (const mm of [startPositionMm, ...stops.map(({ positionMm }) => positionMm)]) {
      if (mm === null) continue;
      const { fromDegrees: tick } = stretchOfSide(frame, mm, mm);
      doc
        .moveTo(...at(tick, radii[0] - 1))
        .lineTo(...at(tick, radii[1] + 1))
        .lineWidth(1.2)
        .strokeColor(INK)
        .stroke();
    }
  }
  for (const { number, pass, index } of numberedDeviations(review)) {
    const frame = frameOf(pass);
    const radii = radiiOf(pass);
    const { fromMm, toMm } = pass.message.deviations[index]!;
    if (!frame || !radii || fromMm === null || toMm === null) continue;
    const { fromDegrees, spanDegrees } = stretchOfSide(frame, fromMm, toMm);
    ring(fromDegrees, Math.max(1.5, spanDegrees), ...radii);
    doc.fillAndStroke(INK, INK);
    const [x, y] = at(fromDegrees + spanDegrees / 2, OUTER + 5);
    label(sheet, String(number), x, y, 5);
  }
  const marks: { readonly name: string; readonly degrees: number }[] = [];
  for (const { label: name, place } of review.indications) {
    if (!place || review.outsideDiameterMm === null) continue;
    const around = (360 * place.uncertaintyMm) / (Math.PI * review.outsideDiameterMm);
    ring(place.fromDegrees - around, Math.min(360, place.spanDegrees + 2 * around), INNER - 7, INNER - 2);
    doc.lineWidth(0.5).dash(1.5, { space: 1 }).strokeColor(INK).stroke().undash();
    ring(place.fromDegrees, Math.max(1, place.spanDegrees), INNER - 7, INNER - 2);
    doc.lineWidth(1).strokeColor(INK).stroke();
    marks.push({ name, degrees: (place.fromDegrees + place.spanDegrees / 2) % 360 });
  }
  for (const side of ['left', 'right'] as const) {
    const ofSide = marks
      .filter(({ degrees }) => degrees < 180 === (side === 'right'))
      .map(({ name, degrees }) => ({ name, mark: at(degrees, INNER - 2) }))
      .sort((a, b) => a.mark[1] - b.mark[1]);
    const heights = labelColumn(
      ofSide.map(({ mark }) => mark[1]),
      top + 6,
      top + SIZE - 6,
      LABEL_GAP,
    );
    const away = side === 'right' ? 1 : -1;
    const x = centre.x + away * (OUTER + 48);
    ofSide.forEach(({ name, mark }, i) => {
      const y = heights[i]!;
      doc
        .moveTo(...mark)
        .lineTo(x - away * 3, y)
        .lineWidth(0.4)
        .strokeColor(INK)
        .stroke();
      doc.font(FONTS.bold).fontSize(6).fillColor(INK);
      doc.text(name, side === 'right' ? x : x - COLUMN, y - 3.6, {
        width: COLUMN,
        align: side === 'right' ? 'left' : 'right',
        lineBreak: false,
        ellipsis: true,
      });
    });
  }
  for (const hour of HOURS) label(sheet, String(hour), ...at(hour * 30, OUTER + 17), 8);
  label(sheet, 'A', centre.x - OUTER - 36, centre.y, 10);
  label(sheet, 'B', centre.x + OUTER + 36, centre.y, 10);
  // Two short lines: indications lie around them.
  label(sheet, sheet.say('looking'), centre.x, centre.y - 4, 6);
  label(sheet, sheet.say('downstream'), centre.x, centre.y + 4, 6);
  doc.restore();
  doc.x = left;
  doc.y = top + SIZE + 4;
  sheet.text(
    'Rings from inside to outside: ' +
      `${layers.join(', ') || 'no layer known'}. Grey: welded. Strokes across a ring: starts and stops. Black: ` +
      'deviations, numbered as in the table. Outlined inside: indications, dashed by the uncertainty of their place.',
    { small: true },
  );
}

function label(sheet: Sheet, text: string, x: number, y: number, size: number): void {
  const { doc } = sheet;
  doc.font(FONTS.bold).fontSize(size).fillColor(INK);
  doc.text(text, x - 40, y - size * 0.6, { width: 80, align: 'center', lineBreak: false });
}

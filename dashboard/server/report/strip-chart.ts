/** One quantity along a side: window means as steps, the band of the WPS, deviations and indications. Black and white. */
import { FONTS, type Sheet } from './sheet.ts';

export interface StripSpan {
  readonly fromMm: number;
  readonly toMm: number;
  readonly label: string;
  /** Where its word stands, so that two kinds do not cover each other. */
  readonly at: 'top' | 'bottom';
}

export interface Strip {
  readonly title: string;
  readonly unit: string;
  readonly decimals: number;
  readonly fromMm: number;
  readonly toMm: number;
  readonly steps: readonly {
    readonly fromMm: number;
    readonly toMm: number;
    readonly value: number | null;
  }[];
  readonly min: number | null;
  readonly nominal: number | null;
  readonly max: number | null;
  /** Stretches to be told apart, each with a word. */
  readonly spans: readonly StripSpan[];
  readonly clockAt: (mm: number) => string;
  /** The lowest of a stack carries the axis. */
  readonly axis: boolean;
}

const HEIGHT = 52;
/** Of the label of an indication, in points. */
const LABEL_WIDTH = 28;
const LEFT = 46;
const INK = '#000000';
const GREY = '#666666';
const BAND = '#e6e6e6';

export function drawStrip(sheet: Sheet, strip: Strip): void {
  const { doc, left, width } = sheet;
  sheet.need(HEIGHT + (strip.axis ? 26 : 6));
  const top = doc.y + 2;
  const x0 = left + LEFT;
  const w = width - LEFT - 4;
  const { low, high } = rangeOf(strip);
  const x = (mm: number): number => x0 + ((mm - strip.fromMm) / (strip.toMm - strip.fromMm)) * w;
  const y = (value: number): number => top + HEIGHT - ((value - low) / (high - low)) * HEIGHT;
  doc.save();
  if (strip.min !== null || strip.max !== null) {
    const upper = y(Math.min(high, strip.max ?? high));
    const lower = y(Math.max(low, strip.min ?? low));
    doc
      .rect(x0, upper, w, Math.max(0, lower - upper))
      .fillColor(BAND)
      .fill();
  }
  // Labels that would touch stand one below the other.
  const labelled: { x: number; y: number }[] = [];
  for (const span of strip.spans) {
    const from = x(Math.max(strip.fromMm, span.fromMm));
    const to = x(Math.min(strip.toMm, span.toMm));
    if (to < from) continue;
    doc
      .rect(from, top, Math.max(1, to - from), HEIGHT)
      .lineWidth(0.8)
      .dash(2, { space: 1.5 });
    doc.strokeColor(INK).stroke().undash();
    doc.font(FONTS.bold).fontSize(6).fillColor(INK);
    const down = span.at === 'top' ? 1 : -1;
    let labelY = span.at === 'top' ? top + 7 : top + HEIGHT - 8;
    const isTaken = (): boolean =>
      labelled.some(other => Math.abs(other.x - from) < LABEL_WIDTH && Math.abs(other.y - labelY) < 7);
    while (isTaken() && labelY > top - 7 && labelY < top + HEIGHT) labelY += 7 * down;
    labelled.push({ x: from, y: labelY });
    doc.text(span.label, from + 1, labelY, { lineBreak: false });
  }
  for (const limit of [strip.min, strip.max]) {
    if (limit !== null)
      doc
        .moveTo(x0, y(limit))
        .lineTo(x0 + w, y(limit))
        .lineWidth(0.6)
        .strokeColor(INK)
        .stroke();
  }
  if (strip.nominal !== null) {
    doc
      .moveTo(x0, y(strip.nominal))
      .lineTo(x0 + w, y(strip.nominal))
      .lineWidth(0.4)
      .dash(3, { space: 3 });
    doc.strokeColor(GREY).stroke().undash();
  }
  doc.lineWidth(0.9).strokeColor(INK);
  let open = false;
  for (const { fromMm, toMm, value } of strip.steps) {
    if (value === null) {
      open = false;
      continue;
    }
    const clipped = Math.min(high, Math.max(low, value));
    if (open) doc.lineTo(x(fromMm), y(clipped));
    else doc.moveTo(x(fromMm), y(clipped));
    doc.lineTo(x(toMm), y(clipped));
    open = true;
  }
  doc.stroke();
  doc.rect(x0, top, w, HEIGHT).lineWidth(0.4).strokeColor(GREY).stroke();
  doc.font(FONTS.bold).fontSize(6.5).fillColor(INK);
  doc.text(sheet.say(strip.title), left, top, { width: LEFT - 4 });
  doc.font(FONTS.plain).fontSize(6).fillColor(GREY);
  const marks = [strip.min ?? low, strip.max ?? high].map(value => value.toFixed(strip.decimals));
  const span = sheet.say(`${marks[0]} to ${marks[1]} ${strip.unit}`);
  const at = span.lastIndexOf(' ');
  [span.slice(0, at), span.slice(at + 1)].forEach((line, i) => {
    doc.text(line, left, top + HEIGHT - 16 + 8 * i, { lineBreak: false });
  });
  if (strip.axis) {
    for (let i = 0; i <= 4; i++) {
      const mm = strip.fromMm + ((strip.toMm - strip.fromMm) * i) / 4;
      doc
        .fillColor(INK)
        .text(`${sheet.say(`${mm.toFixed(0)} mm`)}\n${strip.clockAt(mm)}`, x(mm) - 30, top + HEIGHT + 2, {
          width: 60,
          align: 'center',
        });
    }
  }
  doc.restore();
  doc.x = left;
  doc.y = top + HEIGHT + (strip.axis ? 24 : 3);
}

/** The limits with room around them, else what the values need. */
function rangeOf({ steps, min, nominal, max }: Strip): { low: number; high: number } {
  const values = steps.flatMap(({ value }) => value ?? []);
  const all = [...values, ...[min, nominal, max].filter(value => value !== null)];
  if (all.length === 0) return { low: 0, high: 1 };
  const low = Math.min(...all);
  const high = Math.max(...all);
  const room = (high - low || Math.abs(high) || 1) * 0.12;
  return { low: low - room, high: high + room };
}

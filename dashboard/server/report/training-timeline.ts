/**
 * The session over its time, one band for each side: what was true, what the program called, what the trainee marked,
 * one under the other. Reads in black and white.
 */
import type { Debrief, TimelineItem } from '#core/messages/api-training';
import { FONTS, type Sheet } from './sheet.ts';

const LEFT = 56;
const LANE = 11;
const GAP = 8;
const INK = '#000000';
const GREY = '#666666';
const FILL = '#bdbdbd';

export function drawTimeline(sheet: Sheet, { session, timeline }: Debrief): void {
  const { startedAt, endedAt, rigs } = session;
  if (startedAt === null || endedAt === null) {
    sheet.text('The lesson never began.');
    return;
  }
  const { doc, left, width } = sheet;
  const bands = rigs.length > 0 ? rigs : [];
  const height = 10 + bands.length * (3 * LANE + GAP) + 18;
  sheet.need(height);
  const top = doc.y + 10;
  const x0 = left + LEFT;
  const w = width - LEFT - 6;
  const beganMs = Date.parse(startedAt);
  const lengthMs = Math.max(1, Date.parse(endedAt) - beganMs);
  const x = (utc: string): number =>
    x0 + (Math.min(lengthMs, Math.max(0, Date.parse(utc) - beganMs)) / lengthMs) * w;
  const decoys = new Set(session.truth.filter(({ kind }) => kind === 'decoy').map(({ id }) => id));
  doc.save();
  for (const { from, to } of session.pauses) {
    doc
      .rect(x(from), top - 6, Math.max(1, x(to ?? endedAt) - x(from)), 3)
      .lineWidth(0.6)
      .dash(1, { space: 1 })
      .strokeColor(INK)
      .stroke()
      .undash();
  }
  bands.forEach(({ rig, side }, i) => {
    const y = top + i * (3 * LANE + GAP);
    doc.font(FONTS.bold).fontSize(7).fillColor(INK);
    doc.text(`${side}  ${rig}`, left, y, { width: LEFT - 4, lineBreak: false, ellipsis: true });
    doc.font(FONTS.plain).fontSize(6).fillColor(GREY);
    doc.text(sheet.say('called'), left, y + LANE + 2, { width: LEFT - 4, lineBreak: false });
    doc.text(sheet.say('marked'), left, y + 2 * LANE + 2, { width: LEFT - 4, lineBreak: false });
    doc
      .rect(x0, y, w, 3 * LANE)
      .lineWidth(0.4)
      .strokeColor(GREY)
      .stroke();
    for (const one of timeline) {
      if (one.rig !== rig || (one.side !== null && one.side !== side)) continue;
      drawItem(one, y);
    }
  });
  const axis = top + bands.length * (3 * LANE + GAP);
  doc.font(FONTS.plain).fontSize(6).fillColor(INK);
  for (let i = 0; i <= 4; i++) {
    const seconds = (lengthMs / 1000) * (i / 4);
    doc.text(minutes(seconds), x0 + (w * i) / 4 - 30, axis, { width: 60, align: 'center', lineBreak: false });
  }
  doc.restore();
  doc.x = left;
  doc.y = axis + 14;

  function drawItem(one: TimelineItem, y: number): void {
    const at = x(one.at);
    if (one.kind === 'truth') {
      const end = x(one.until ?? endedAt!);
      doc.rect(at, y + 1.5, Math.max(1.5, end - at), LANE - 3).lineWidth(0.7);
      if (decoys.has(one.ref ?? '')) doc.dash(2, { space: 1.5 }).strokeColor(INK).stroke().undash();
      else doc.fillAndStroke(FILL, INK);
    } else if (one.kind === 'mark') {
      const base = y + 3 * LANE - 1.5;
      doc
        .polygon([at, base - 7], [at - 3.5, base], [at + 3.5, base])
        .fillColor(INK)
        .fill();
    } else if (one.kind !== 'note' && one.kind !== 'pause') {
      doc
        .rect(at - 0.6, y + LANE + 2, 1.2, LANE - 4)
        .fillColor(INK)
        .fill();
    }
  }
}

/** "3:05" */
export const minutes = (seconds: number): string => {
  const whole = Math.max(0, Math.round(seconds));
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, '0')}`;
};

/** What was found at the joint, what was decided about it, and where it is signed. */
import type { JointReview } from '#core/messages/api-review';
import { clockText } from '#core/position/clock-position';
import { DECISION_WORDS, type NameOf, whichPass } from './place-words.ts';
import { utcText } from './report-words.ts';
import type { Sheet } from './sheet.ts';

export function findings(sheet: Sheet, review: JointReview, nameOf: NameOf): void {
  for (const one of review.indications) {
    const { label, type, technique, reference, place, lengthMm, depthMm, frame } = one;
    sheet.subheading(`Indication ${label}: ${type}`);
    const where = place
      ? `${clockText(place.fromClock)} to ${clockText(place.toClock)}, ${place.fromMm.toFixed(0)} mm from 12 o’clock, ± ${place.uncertaintyMm.toFixed(0)} mm`
      : 'place not known: no outside diameter';
    sheet.text(
      `${technique}, report ${reference}: ${where}; ${lengthMm} mm long, depth ${depthMm === null ? 'not given' : `${depthMm} mm`}. ` +
        `Counted from ${frame.zeroDegrees}° ${frame.sense === 'clockwise' ? 'with' : 'against'} the clock, looking downstream.`,
    );
    const names = one.covered.flatMap(({ passId, windows, atDepth }) => {
      const pass = review.passes.find(({ message }) => message.passId === passId);
      return pass && atDepth ? [`${whichPass(pass)} (${windows.length} windows)`] : [];
    });
    sheet.text(
      `Passes there${names.length === 0 ? ': none recorded' : ` and at its depth: ${names.join('; ')}`}.`,
    );
    for (const entry of one.findings) findingLine(sheet, entry, nameOf);
  }
  for (const entry of [...review.findings, ...review.annotations]) findingLine(sheet, entry, nameOf);
  for (const { body } of review.scans) {
    if (body.kind === 'scanReport' && body.indications.length === 0)
      sheet.text(`Scan ${body.reference} (${body.technique}) reports no indication.`);
  }
  sheet.subheading('Disposition');
  if (review.dispositions.length === 0) sheet.text('NO DISPOSITION: nobody has decided about this joint.');
  for (const { at, author, reason, body } of review.dispositions) {
    if (body.kind !== 'disposition') continue;
    sheet.text(`${DECISION_WORDS[body.decision]}: ${nameOf(author)}, ${utcText(at)}`, { bold: true });
    sheet.text(reason ?? '');
  }
  sheet.gap(8);
  sheet.table(
    [
      { title: 'Signature', share: 0.4 },
      { title: 'Name', share: 0.35 },
      { title: 'Date', share: 0.25 },
    ],
    [
      ['\n\n', '', ''],
      ['\n\n', '', ''],
    ],
  );
}

function findingLine(
  sheet: Sheet,
  { at, author, body }: JointReview['findings'][number],
  nameOf: NameOf,
): void {
  const by = `${nameOf(author)}, ${utcText(at)}`;
  if (body.kind === 'reviewFinding') {
    const found = { found: 'correlation found', none: 'no correlation found', notClear: 'not clear' };
    sheet.text(`Finding, ${found[body.correlation]}: ${body.text} (${by})`);
  } else if (body.kind === 'annotation') sheet.text(`Note: ${body.text} (${by})`);
}

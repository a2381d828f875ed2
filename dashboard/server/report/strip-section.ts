/** Strips of the passes that somebody will ask about: under an indication, or with a deviation; else of all. */
import type { JointReview, ReviewPass } from '#core/messages/api-review';
import { numberedDeviations } from './clock-map.ts';
import { clockAlong, whichPass } from './place-words.ts';
import { QUANTITY_SHOWN, QUANTITY_WORDS } from './report-words.ts';
import type { Sheet } from './sheet.ts';
import { drawStrip, type StripSpan } from './strip-chart.ts';

const STRIPS = ['weldingCurrent', 'arcVoltage', 'wireFeedSpeed', 'travelSpeed', 'arcEnergy'] as const;

export function strips(sheet: Sheet, review: JointReview): void {
  const asked = review.passes.filter(pass => isAskedAbout(pass, review));
  const drawn = asked.length > 0 ? asked : review.passes;
  for (const pass of drawn) drawPass(sheet, review, pass);
  if (review.indications.length > 0) {
    sheet.text(
      'NDT and its label: the stretch looked at for that indication, its uncertainty and 25 mm on either side included.',
      { small: true },
    );
  }
  if (drawn.length < review.passes.length) {
    sheet.text('Passes without a deviation and under no indication are in the attached data.', {
      small: true,
    });
  }
}

function isAskedAbout(pass: ReviewPass, review: JointReview): boolean {
  const { passId, deviations } = pass.message;
  return (
    deviations.length > 0 ||
    review.indications.some(({ covered }) => covered.some(one => one.passId === passId && one.atDepth))
  );
}

function drawPass(sheet: Sheet, review: JointReview, pass: ReviewPass): void {
  const known = pass.windows.flatMap(window =>
    window.fromMm === null || window.toMm === null
      ? []
      : [{ ...window, fromMm: window.fromMm, toMm: window.toMm }],
  );
  const [first] = known;
  const last = known.at(-1);
  const shownStrips = STRIPS.filter(quantity => known.some(({ values }) => values[quantity] !== null));
  // A pass is not torn apart between two pages, nor from its heading.
  sheet.need(shownStrips.length * 58 + 40);
  sheet.subheading(whichPass(pass));
  if (!first || !last) {
    sheet.text(pass.windowsNote ?? 'No window of weld is known by its place.');
    return;
  }
  const spansOf = (quantity: string): StripSpan[] =>
    numberedDeviations(review).flatMap(({ number, pass: of, index }) => {
      const deviation = of.message.deviations[index]!;
      const { fromMm, toMm } = deviation;
      if (of !== pass || deviation.quantity !== quantity || fromMm === null || toMm === null) return [];
      return [{ fromMm, toMm, label: `${number}`, at: 'bottom' }];
    });
  const called: StripSpan[] = review.indications.flatMap(({ label, covered }) =>
    covered
      .filter(({ passId, windows }) => passId === pass.message.passId && windows.length > 0)
      .map(({ windows }) => ({
        fromMm: pass.windows[windows[0]!]?.fromMm ?? first.fromMm,
        toMm: pass.windows[windows.at(-1)!]?.toMm ?? last.toMm,
        label: `NDT ${label}`,
        at: 'top' as const,
      })),
  );
  const clockAt = (alongMm: number): string => clockAlong(review, pass, alongMm);
  const verdicts = pass.judgements.at(-1)?.verdicts ?? [];
  shownStrips.forEach((quantity, i) => {
    const { unit, decimals, of } = QUANTITY_SHOWN[quantity]!;
    const limit =
      verdicts.find(one => one.quantity === quantity && one.basis === 'window') ??
      verdicts.find(one => one.quantity === quantity);
    const inUnit = (value: number | null | undefined): number | null =>
      value === null || value === undefined ? null : of(value);
    drawStrip(sheet, {
      title: QUANTITY_WORDS[quantity]!,
      unit,
      decimals,
      fromMm: first.fromMm,
      toMm: last.toMm,
      steps: known.map(({ fromMm, toMm, values }) => ({ fromMm, toMm, value: inUnit(values[quantity]) })),
      min: inUnit(limit?.min),
      nominal: inUnit(limit?.nominal),
      max: inUnit(limit?.max),
      spans: [...called, ...spansOf(quantity)],
      clockAt,
      axis: i === shownStrips.length - 1,
    });
  });
}

/** The reviewer's page in its order: each section reads one part of the review and says what it does not know. */
import { LOOKS_LIKE_CAUTION } from '#core/drift/looks-like';
import type { JointReview } from '#core/messages/api-review';
import { clockText } from '#core/position/clock-position';
import { drawClockMap, numberedDeviations } from './clock-map.ts';
import { type NameOf, placeAlong, whichPass } from './place-words.ts';
import { fixed, QUANTITY_SHOWN, QUANTITY_WORDS, shown, utcText, WORDS } from './report-words.ts';
import type { Sheet } from './sheet.ts';

export function identity(sheet: Sheet, review: JointReview): void {
  const { state, procedure } = review;
  const { particulars } = state;
  const of = (value: unknown): string =>
    value === undefined || value === null ? WORDS.unknown : String(value);
  const mm = (value: number | null): string => (value === null ? WORDS.unknown : `${value} mm`);
  sheet.facts([
    ['Joint', review.joint],
    ['Origin of the data', review.origin],
    ['WPS', procedure ? `${procedure.id} rev. ${procedure.revision}, ${procedure.state}` : WORDS.unknown],
    ['Title', procedure?.title ?? WORDS.unknown],
    ['Code', of(procedure?.code)],
    ['Station', of(particulars.station)],
    ['Outside diameter', mm(review.outsideDiameterMm)],
    ['Wall', mm(review.wallThicknessMm)],
    ['Wire lot', of(state.wireLot)],
    ['Gas lot', of(state.gasLot)],
    ['Complete', state.complete === null ? 'not known' : state.complete ? 'every pass, both sides' : 'NO'],
    ['On hold', state.onHold ? `yes: ${state.onHold.reason}` : 'no'],
    ['Positions', 'length along each side from its start; o’clock looking downstream, 12 at the top'],
    ['Sides', 'A against the clock, B with it'],
  ]);
  for (const { text } of state.findings) sheet.text(`Missing or against the rules: ${text}`);
  if (procedure?.exampleOnly) sheet.text(WORDS.exampleOnly, { bold: true });
}

export function map(sheet: Sheet, review: JointReview): void {
  drawClockMap(sheet, review);
  const all = numberedDeviations(review);
  if (all.length === 0) return;
  sheet.subheading('Deviations');
  sheet.table(
    [
      { title: 'No.', share: 0.06 },
      { title: 'Side, pass', share: 0.14 },
      { title: 'What', share: 0.25 },
      { title: 'Worst', share: 0.12, align: 'right' },
      { title: 'Limits', share: 0.15, align: 'right' },
      { title: 'Where', share: 0.28, align: 'right' },
    ],
    all.map(({ number, pass, index }) => {
      const { quantity, basis, extreme, min, max, fromMm, toMm } = pass.message.deviations[index]!;
      return [
        String(number),
        whichPass(pass),
        `${QUANTITY_WORDS[quantity] ?? quantity} (${basis})`,
        withUnit(quantity, extreme),
        rangeText(quantity, min, max),
        placeAlong(review, pass, fromMm, toMm),
      ];
    }),
  );
}

export function passTable(sheet: Sheet, review: JointReview): void {
  if (review.passes.length === 0) sheet.text('No pass is recorded.');
  for (const pass of review.passes) {
    const { message, judgements } = pass;
    const p = message.pass;
    const judged = judgements.at(-1);
    // A pass stands on one page with its verdicts.
    sheet.need(100 + 13 * (judged?.verdicts.length ?? 0));
    sheet.subheading(`${whichPass(pass)}, ${message.rig}, ${utcText(message.startUtc)}`);
    sheet.facts([
      ['Arc time', `${fixed(p.arcTimeS, 1)} s of ${fixed(p.elapsedS, 1)} s`],
      ['Run-out length', withMm(p.runOutLengthMm)],
      ['Arc energy', `${fixed(p.arcEnergyKjMm, 3)} kJ/mm (${p.energyBasis})`],
      ['Heat input', `${fixed(p.heatInputKjMm, 3)} kJ/mm (k ${p.thermalEfficiency})`],
      ['Restarts, drop-outs', `${p.restarts}, ${p.extinctions}`],
      ['Not observed', `${fixed(p.unobservedS, 1)} s`],
    ]);
    if (judged && judged.basis === 'moved') {
      sheet.text(`Moved here by an entry; judged as ${judged.pass ?? WORDS.unknown}.`);
    }
    sheet.table(
      [
        { title: 'Quantity', share: 0.24 },
        { title: 'Basis', share: 0.1 },
        { title: 'Limits', share: 0.2, align: 'right' },
        { title: 'Value', share: 0.12, align: 'right' },
        { title: '± (k = 2)', share: 0.1, align: 'right' },
        { title: 'Out', share: 0.1, align: 'right' },
        { title: 'Verdict', share: 0.14 },
      ],
      (judged?.verdicts ?? []).map(verdict => [
        QUANTITY_WORDS[verdict.quantity] ?? verdict.quantity,
        verdict.basis,
        rangeText(verdict.quantity, verdict.min, verdict.max),
        withUnit(verdict.quantity, verdict.value),
        withUnit(verdict.quantity, verdict.expandedUncertainty),
        withMm(verdict.outLengthMm),
        verdict.state === 'notJudged' ? `not judged: ${verdict.reason ?? ''}` : verdict.state,
      ]),
    );
    const calls = p.drift?.calls ?? [];
    for (const { rule, text, looksLike } of calls) {
      sheet.text(`Change along the weld (${rule}): ${text}`);
      for (const cause of looksLike) sheet.text(`Looks like: ${cause.text}`, { small: true });
    }
    if (calls.some(({ looksLike }) => looksLike.length > 0)) sheet.text(LOOKS_LIKE_CAUTION, { small: true });
    for (const { text } of p.reasons) sheet.text(`Note: ${text}`, { small: true });
  }
}

export function times(sheet: Sheet, review: JointReview, nameOf: NameOf): void {
  const readings = review.state.entries.filter(({ body }) => body.kind === 'temperatureReading');
  if (readings.length === 0) sheet.text('No temperature reading is entered.');
  else {
    sheet.table(
      [
        { title: 'Taken', share: 0.25 },
        { title: 'What', share: 0.2 },
        { title: 'Before', share: 0.15 },
        { title: 'Reading', share: 0.15, align: 'right' },
        { title: 'By', share: 0.25 },
      ],
      readings.flatMap(({ author, body }) =>
        body.kind === 'temperatureReading'
          ? [
              [
                utcText(body.takenAt),
                'reading' in body ? String(body.reading) : 'temperature',
                body.pass,
                `${body.valueCel} °C${body.clock === null ? '' : ` at ${clockText(body.clock)}`}`,
                nameOf(author),
              ],
            ]
          : [],
      ),
    );
  }
  const ordered = review.passes.toSorted((a, b) => (a.message.startUtc < b.message.startUtc ? -1 : 1));
  const gaps = (['A', 'B'] as const).flatMap(side => {
    const mine = ordered.filter(pass => pass.work.side === side);
    return mine
      .slice(1)
      .map((pass, i) => [
        `side ${side}`,
        mine[i]!.work.pass ?? WORDS.unknown,
        pass.work.pass ?? WORDS.unknown,
        `${((Date.parse(pass.message.startUtc) - Date.parse(mine[i]!.message.endUtc)) / 60_000).toFixed(1)} min`,
      ]);
  });
  if (gaps.length > 0) {
    sheet.table(
      [
        { title: 'Side', share: 0.2 },
        { title: 'From the end of', share: 0.3 },
        { title: 'To the start of', share: 0.3 },
        { title: 'Time', share: 0.2, align: 'right' },
      ],
      gaps,
    );
  }
}

/** As many as a page takes; the attached data holds all. */
const EVENTS_SHOWN = 60;

export function events(sheet: Sheet, review: JointReview): void {
  const all = review.passes.flatMap(pass => pass.events.map(event => ({ pass, event })));
  if (all.length === 0) {
    sheet.text('No event is recorded.');
    return;
  }
  sheet.table(
    [
      { title: 'Time', share: 0.22 },
      { title: 'Side, pass', share: 0.2 },
      { title: 'Where', share: 0.13, align: 'right' },
      { title: 'Event', share: 0.45 },
    ],
    all
      .slice(0, EVENTS_SHOWN)
      .map(({ pass, event }) => [utcText(event.atUtc), whichPass(pass), withMm(event.alongMm), event.text]),
  );
  if (all.length > EVENTS_SHOWN) sheet.text(`${all.length - EVENTS_SHOWN} more are in the attached data.`);
}

export function verification(sheet: Sheet, review: JointReview): void {
  for (const { rig, atUtc, ready, findings } of review.verifications) {
    sheet.text(`${rig}, as it stood on ${utcText(atUtc)}: ${ready ? 'ready' : 'NOT READY'}`, { bold: true });
    for (const finding of findings) sheet.text(finding);
  }
  if (review.verifications.length === 0) sheet.text('No rig is known to have welded here.');
}

export function quality(sheet: Sheet, review: JointReview): void {
  sheet.table(
    [
      { title: 'Side, pass', share: 0.16 },
      { title: 'Samples', share: 0.1, align: 'right' },
      { title: 'Gaps', share: 0.14, align: 'right' },
      { title: 'Channels missing', share: 0.2 },
      { title: 'Voltage tapped at', share: 0.18 },
      { title: 'Travel radius', share: 0.1, align: 'right' },
      { title: 'Clock', share: 0.12 },
    ],
    review.passes.map(pass => {
      const {
        samples,
        gaps,
        unobservedS,
        missingChannels,
        voltageTapPoint,
        referenceRadiusMm,
        clock,
        pruned,
      } = pass.quality;
      const offset =
        clock.offsetMs === null ? 'offset not measured' : `${Math.round(clock.offsetMs) || 0} ms`;
      return [
        whichPass(pass),
        pruned ? 'pruned' : String(samples),
        gaps.length === 0 ? 'none' : `${gaps.length}, ${fixed(unobservedS, 1)} s`,
        missingChannels.map(one => QUANTITY_WORDS[one] ?? one).join(', ') || 'none',
        voltageTapPoint ?? WORDS.unknown,
        withMm(referenceRadiusMm),
        `${clock.state}, ${offset}`,
      ];
    }),
  );
}

const withMm = (value: number | null | undefined): string =>
  value === null || value === undefined ? WORDS.unknown : `${fixed(value, 0)} mm`;

function rangeText(quantity: string, min: number | null, max: number | null): string {
  return `${shown(quantity, min)} to ${withUnit(quantity, max)}`;
}

function withUnit(quantity: string, value: number | null | undefined): string {
  const text = shown(quantity, value);
  return value === null || value === undefined
    ? text
    : `${text} ${QUANTITY_SHOWN[quantity]?.unit ?? ''}`.trim();
}

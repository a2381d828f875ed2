/** Each indication of the joint's scans with what was welded under it and what was found about it. */
import { lookedAt, type SideFrame, under } from '#core/indication/covered';
import { DEPTH_SLACK_MM, sharesDepth } from '#core/indication/layer-depth';
import { type IndicationPlace, indicationPlace } from '#core/indication/place';
import type { EntryOf } from '#core/journal/entry';
import type { ReviewIndication, ReviewPass } from '#core/messages/api-review';

export function reviewIndications(
  reports: readonly EntryOf<'scanReport'>[],
  findings: readonly EntryOf<'reviewFinding'>[],
  passes: readonly ReviewPass[],
  outsideDiameterMm: number | null,
): ReviewIndication[] {
  return reports.flatMap(({ id, body: { reference, technique, takenAt, frame, indications } }) =>
    indications.map((indication): ReviewIndication => {
      const place = outsideDiameterMm === null ? null : indicationPlace(indication, frame, outsideDiameterMm);
      const { label, type, position, unit, lengthMm, depthMm, heightMm } = indication;
      return {
        scanEntryId: id,
        reference,
        technique,
        takenAt,
        frame,
        label,
        type,
        position,
        unit,
        lengthMm,
        depthMm,
        heightMm,
        place,
        covered:
          place === null || outsideDiameterMm === null
            ? []
            : passes.flatMap(pass => coveredOf(pass, place, indication, outsideDiameterMm)),
        findings: findings.filter(
          ({ body }) => body.indication?.scanEntryId === id && body.indication.label === label,
        ),
      };
    }),
  );
}

function coveredOf(
  pass: ReviewPass,
  place: IndicationPlace,
  indication: { readonly depthMm: number | null; readonly heightMm: number | null },
  outsideDiameterMm: number,
): ReviewIndication['covered'] {
  const { side } = pass.work;
  if (side === null || pass.startDegrees === null) return [];
  const { startPositionMm, endPositionMm, stops, positionUncertaintyMm } = pass.message.pass;
  const frame: SideFrame = {
    side,
    startDegrees: pass.startDegrees,
    outsideDiameterMm,
    uncertaintyMm: positionUncertaintyMm,
  };
  const stretch = lookedAt(place, frame);
  const found = <T>(
    items: readonly T[],
    at: (item: T) => readonly [number | null, number | null],
  ): number[] =>
    under(
      items.map((item, index) => ({ index, fromMm: at(item)[0], toMm: at(item)[1] })),
      stretch,
      frame,
    ).map(({ index }) => index);
  const isHere = (mm: number | null): boolean => found([mm], one => [one, one]).length > 0;
  const windows = found(pass.windows, ({ fromMm, toMm }) => [fromMm, toMm]);
  const ends = found([0], () => [startPositionMm, endPositionMm]);
  if (windows.length === 0 && ends.length === 0) return [];
  return [
    {
      passId: pass.message.passId,
      windows,
      stops: found(stops, ({ positionMm }) => [positionMm, positionMm]),
      events: found(pass.events, ({ alongMm }) => [alongMm, alongMm]).map(index => pass.events[index]!.id),
      startsHere: isHere(startPositionMm),
      endsHere: isHere(endPositionMm),
      atDepth: sharesDepth(pass.depth, indication, DEPTH_SLACK_MM),
    },
  ];
}

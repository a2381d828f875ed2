/** One row a window of weld of about 25 mm, of every pass of a joint. */
import { type CsvColumns, rounded } from '#core/csv/csv-writer';
import {
  type JointReview,
  type ReviewPass,
  type ReviewWindow,
  WINDOW_QUANTITIES,
  type WindowQuantity,
} from '#core/messages/api-review';
import { snakeCase } from './column-names.ts';
import type { PassExport } from './pass-export.ts';
import { whichPass } from './passes-table.ts';
import { timeColumns } from './table-times.ts';

export interface WindowRow {
  readonly pass: Pick<PassExport, 'message' | 'work' | 'utcOf'>;
  readonly window: ReviewWindow;
  /** From 1 along the pass. */
  readonly number: number;
  readonly quality: ReviewPass['quality'];
}

const UNIT_OF: Readonly<Record<WindowQuantity, string>> = {
  weldingCurrent: 'a',
  arcVoltage: 'v',
  wireFeedSpeed: 'mm_s',
  travelSpeed: 'mm_s',
  arcEnergy: 'kj_mm',
  heatInput: 'kj_mm',
  gasFlow: 'l_min',
};
const DECIMALS = 6;

export function windowRows(
  review: JointReview,
  shown: (passId: string) => WindowRow['pass'] | undefined,
): WindowRow[] {
  return review.passes.flatMap(({ message, windows, quality }) => {
    const pass = shown(message.passId);
    return pass ? windows.map((window, i) => ({ pass, window, number: i + 1, quality })) : [];
  });
}

export function windowColumns(zone: string): CsvColumns<WindowRow> {
  return {
    ...whichPass<WindowRow>(({ pass }) => pass),
    window: ({ number }) => number,
    ...timeColumns<WindowRow>(
      zone,
      ({ pass, window }) => pass.utcOf(pass.message.startUs) + Math.round(window.fromS * 1000),
      ({ window }) => window.fromS,
    ),
    to_s: ({ window }) => rounded(window.toS, DECIMALS),
    from_mm: ({ window }) => rounded(window.fromMm, DECIMALS),
    to_mm: ({ window }) => rounded(window.toMm, DECIMALS),
    from_clock_h: ({ window }) => rounded(window.fromClock, DECIMALS),
    to_clock_h: ({ window }) => rounded(window.toClock, DECIMALS),
    quality: windowQuality,
    ...Object.fromEntries(
      WINDOW_QUANTITIES.map(quantity => [
        `${snakeCase(quantity)}_${UNIT_OF[quantity]}`,
        ({ window }: WindowRow) => rounded(window.values[quantity], DECIMALS),
      ]),
    ),
    out_of_limit: ({ window }) => window.out.join('; '),
  };
}

function windowQuality({ window: { fromS, toS }, quality: { gaps, pruned } }: WindowRow): string {
  const touched = gaps.some(gap => gap.fromS < toS && gap.toS > fromS);
  return [...(touched ? ['gap'] : []), ...(pruned ? ['thinned'] : [])].join(' ') || 'ok';
}

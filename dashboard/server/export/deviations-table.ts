/** One row a deviation, and one a change along the weld, pass by pass. A deviation is never a verdict of NDT. */
import { type CsvColumns, rounded } from '#core/csv/csv-writer';
import type { DriftCall } from '#core/messages/drift';
import type { Deviation } from '#core/messages/pass';
import type { PassExport } from './pass-export.ts';
import { whichPass } from './passes-table.ts';
import { timeColumns } from './table-times.ts';

export interface FoundRow {
  readonly pass: PassExport;
  /** Exactly one of the two is there. */
  readonly deviation: Deviation | null;
  readonly change: DriftCall | null;
}

const DECIMALS = 6;

export function foundIn(pass: PassExport): FoundRow[] {
  return [
    ...(pass.judgement?.deviations ?? []).map(deviation => ({ pass, deviation, change: null })),
    ...(pass.message.pass.drift?.calls ?? []).map(change => ({ pass, deviation: null, change })),
  ];
}

/** Seconds from the start of the pass. */
function fromPassS({ pass }: FoundRow, streamS: number | null | undefined): number | null {
  return streamS === null || streamS === undefined ? null : streamS - pass.message.pass.startS;
}

const startS = (row: FoundRow): number => fromPassS(row, (row.deviation ?? row.change)!.fromS)!;

export function foundColumns(zone: string): CsvColumns<FoundRow> {
  const n =
    (read: (row: FoundRow) => number | null | undefined) =>
    (row: FoundRow): number | null =>
      rounded(read(row), DECIMALS);
  return {
    ...whichPass<FoundRow>(({ pass }) => pass),
    kind: ({ deviation }) => (deviation ? 'deviation' : 'change'),
    ...timeColumns<FoundRow>(
      zone,
      row => row.pass.utcOf(row.pass.message.startUs) + Math.round(startS(row) * 1000),
      startS,
    ),
    to_s: n(row => fromPassS(row, (row.deviation ?? row.change)!.toS)),
    from_mm: n(({ deviation, change }) => (deviation ?? change)!.fromMm),
    to_mm: n(({ deviation, change }) => (deviation ?? change)!.toMm),
    quality: ({ pass }) => (pass.message.state === 'open' ? 'open' : 'ok'),
    judged_as: ({ pass, deviation }) => (deviation ? pass.judgement?.basis : 'recorded'),
    quantity: ({ deviation, change }) => (deviation ?? change)!.quantity,
    unit: ({ deviation, change }) => (deviation ?? change)!.unit,
    basis: ({ deviation }) => deviation?.basis,
    min: n(({ deviation }) => deviation?.min),
    nominal: n(({ deviation }) => deviation?.nominal),
    max: n(({ deviation }) => deviation?.max),
    value: n(({ deviation }) => deviation?.value),
    extreme: n(({ deviation }) => deviation?.extreme),
    expanded_uncertainty: n(({ deviation }) => deviation?.expandedUncertainty),
    state: ({ deviation }) => deviation?.state,
    out_length_mm: n(({ deviation }) => deviation?.outLengthMm),
    longest_run_mm: n(({ deviation }) => deviation?.longestRunMm),
    rule: ({ change }) => change?.rule,
    direction: ({ change }) => change?.direction,
    shape: ({ change }) => change?.shape,
    called_s: n(row => fromPassS(row, row.change?.calledS)),
    called_mm: n(({ change }) => change?.calledMm),
    baseline: n(({ change }) => change?.baseline),
    change: n(({ change }) => change?.change),
    change_sigma: n(({ change }) => change?.changeSigma),
    text: ({ deviation, change }) => change?.text ?? deviation?.reason,
    looks_like: ({ change }) => change?.looksLike.map(({ text }) => text).join(' / '),
  };
}

/** One row a pass: what it counts as, when, what was measured, how it was judged. */
import { type CsvColumns, rounded } from '#core/csv/csv-writer';
import type { Pass, VerdictState } from '#core/messages/pass';
import type { PassExport } from './pass-export.ts';
import { timeColumns } from './table-times.ts';

/** As many digits as any of these has meaning. */
const DECIMALS = 6;

const verdicts =
  (state: VerdictState) =>
  ({ judgement }: PassExport): string =>
    (judgement?.verdicts ?? [])
      .filter(verdict => verdict.state === state)
      .map(({ quantity, basis }) => `${quantity} (${basis})`)
      .join('; ');

const measured =
  (read: (pass: Pass) => number | null) =>
  ({ message }: PassExport): number | null =>
    rounded(read(message.pass), DECIMALS);

type Which = Pick<PassExport, 'message' | 'work'>;

/** Which pass a row is of: the first columns of every table of passes. */
export function whichPass<Row>(passOf: (row: Row) => Which): CsvColumns<Row> {
  return {
    joint: row => passOf(row).work.joint,
    side: row => passOf(row).work.side,
    pass: row => passOf(row).work.pass,
    pass_id: row => passOf(row).message.passId,
  };
}

/** Times are those of the start; `t_s` counts from the first sample of the stream. */
export function passColumns(zone: string): CsvColumns<PassExport> {
  return {
    ...whichPass<PassExport>(pass => pass),
    ...timeColumns<PassExport>(
      zone,
      ({ message, utcOf }) => utcOf(message.startUs),
      ({ message }) => message.pass.startS,
    ),
    end_utc: ({ message, utcOf }) => new Date(utcOf(message.endUs)).toISOString(),
    quality: passQuality,
    origin: ({ message }) => message.origin,
    site: ({ message }) => message.site,
    rig: ({ message }) => message.rig,
    clock_state: ({ message }) => message.clock.state,
    clock_offset_ms: ({ message }) => message.clock.offsetMs,
    procedure_id: ({ judgement, message }) => judgement?.procedureId ?? message.procedureId,
    procedure_revision: ({ judgement, message }) => judgement?.procedureRevision ?? message.procedureRevision,
    judged_as: ({ judgement }) => judgement?.basis,
    recorded_joint: ({ message }) => message.joint,
    recorded_side: ({ message }) => message.side,
    recorded_pass: ({ message }) => message.pass.procedurePass,
    arc_time_s: measured(pass => pass.arcTimeS),
    elapsed_s: measured(pass => pass.elapsedS),
    restarts: ({ message }) => message.pass.restarts,
    stops: ({ message }) => message.pass.stops.length,
    extinctions: ({ message }) => message.pass.extinctions,
    unobserved_s: measured(pass => pass.unobservedS),
    standing_arc_s: measured(pass => pass.standingArcS),
    standing_arc_kj: measured(pass => pass.standingArcKj),
    mean_current_a: measured(pass => pass.meanCurrentA),
    mean_voltage_v: measured(pass => pass.meanVoltageV),
    mean_wire_feed_mm_s: measured(pass => pass.meanWireFeedMmS),
    mean_travel_mm_s: measured(pass => pass.meanTravelMmS),
    run_out_length_mm: measured(pass => pass.runOutLengthMm),
    energy_basis: ({ message }) => message.pass.energyBasis,
    arc_energy_kj: measured(pass => pass.arcEnergyKj),
    mean_product_kj: measured(pass => pass.meanProductKj),
    arc_energy_kj_mm: measured(pass => pass.arcEnergyKjMm),
    heat_input_kj_mm: measured(pass => pass.heatInputKjMm),
    thermal_efficiency: measured(pass => pass.thermalEfficiency),
    wire_used_m: measured(pass => pass.wireUsedM),
    wire_used_kg: measured(pass => pass.wireUsedKg),
    start_position_mm: measured(pass => pass.startPositionMm),
    end_position_mm: measured(pass => pass.endPositionMm),
    position_uncertainty_mm: measured(pass => pass.positionUncertaintyMm),
    gas_before_arc_s: measured(pass => pass.sequence.gasBeforeArcS),
    arc_before_travel_s: measured(pass => pass.sequence.arcBeforeTravelS),
    arc_after_travel_s: measured(pass => pass.sequence.arcAfterTravelS),
    gas_after_arc_s: measured(pass => pass.sequence.gasAfterArcS),
    verdicts_in: verdicts('in'),
    verdicts_marginal: verdicts('marginal'),
    verdicts_out: verdicts('out'),
    verdicts_not_judged: verdicts('notJudged'),
    deviations: ({ judgement }) => judgement?.deviations.length,
    changes: ({ message }) => message.pass.drift?.calls.length,
    reasons: ({ message }) => message.pass.reasons.map(({ text }) => text).join('; '),
  };
}

/** `ok`, or what limits it. */
function passQuality({ message, samples, redated }: PassExport): string {
  const found = [
    ...(message.state === 'open' ? ['open'] : []),
    ...(message.pass.unobservedS > 0 ? ['unobserved'] : []),
    ...message.pass.reasons.flatMap(({ code }) =>
      code === 'interrupted' ? ['interrupted'] : code === 'recordingEnded' ? ['recording_ended'] : [],
    ),
    ...(message.clock.state === 'unsynced' ? [redated ? 'dated_afterwards' : 'clock_unsynced'] : []),
    ...(samples === null ? ['no_samples'] : []),
  ];
  return found.join(' ') || 'ok';
}

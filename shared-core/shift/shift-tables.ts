/** A shift as tables: one row a rig, one a joint. What is not known is an empty cell, its reason beside it. */
import { type CsvColumns, rounded } from '../csv/csv-writer.ts';
import { localTime } from '../csv/local-time.ts';
import type { Shift, ShiftFigure, ShiftJoint, ShiftRig, ShiftStanding } from '../messages/api-shift.ts';

const DECIMALS = 6;

/** Which shift it is, in every row. */
function whichShift<Row>({ date, zone, origin }: Shift): CsvColumns<Row> {
  return { shift_date: () => date, zone: () => zone, origin: () => origin };
}

function figure(name: string, read: (rig: ShiftRig) => ShiftFigure): CsvColumns<ShiftRig> {
  return {
    [name]: rig => rounded(read(rig).value, DECIMALS),
    [`${name}_known_passes`]: rig => read(rig).known,
    [`${name}_reason`]: rig => read(rig).reason,
  };
}

const lacking = (standing: ShiftStanding | null): string | null =>
  standing === null ? null : standing.missing.map(({ check, state }) => `${check} ${state}`).join('; ');

export function shiftRigColumns(shift: Shift): CsvColumns<ShiftRig> {
  const local = localTime(shift.zone);
  const inZone = (utc: string | null): string | null => (utc === null ? null : local(Date.parse(utc)));
  return {
    ...whichShift<ShiftRig>(shift),
    site: ({ site }) => site,
    rig: ({ rig }) => rig,
    passes: ({ passes }) => passes,
    continuations: ({ continuations }) => continuations,
    restarts: ({ restarts }) => restarts,
    open_passes: ({ open }) => open,
    passes_clock_not_set: ({ clockUnset }) => clockUnset,
    first_arc_utc: ({ firstArcUtc }) => firstArcUtc,
    first_arc_local: ({ firstArcUtc }) => inZone(firstArcUtc),
    last_arc_end_utc: ({ lastArcUtc }) => lastArcUtc,
    last_arc_end_local: ({ lastArcUtc }) => inZone(lastArcUtc),
    arc_time_s: ({ arcTimeS }) => rounded(arcTimeS, DECIMALS),
    elapsed_s: ({ elapsedS }) => rounded(elapsedS, DECIMALS),
    operating_factor: ({ operatingFactor }) => rounded(operatingFactor, DECIMALS),
    arc_reason: ({ arcReason }) => arcReason,
    not_observed_s: ({ unobservedS }) => rounded(unobservedS, DECIMALS),
    ...figure('wire_m', ({ wireM }) => wireM),
    ...figure('wire_kg', ({ wireKg }) => wireKg),
    ...figure('deposition_kg_h', ({ depositionKgPerH }) => depositionKgPerH),
    ...figure('gas_l', ({ gasL }) => gasL),
    spool_changes: ({ spoolChanges }) => spoolChanges,
    bottle_changes: ({ bottleChanges }) => bottleChanges,
    spool_left_kg: ({ spool }) => rounded(spool.leftKg, DECIMALS),
    spool_left_estimated: ({ spool }) => (spool.leftKg === null ? null : spool.estimated),
    spool_put_on_kg: ({ spool }) => spool.putOnKg,
    spool_changed_utc: ({ spool }) => spool.changedAt,
    spool_lot: ({ spool }) => spool.lot,
    spool_reason: ({ spool }) => spool.reason,
    deviations: ({ deviations }) => deviations,
    deviations_open: ({ deviationsOpen }) => deviationsOpen,
    changes: ({ changes }) => changes,
    changes_open: ({ changesOpen }) => changesOpen,
    alarms_announced: ({ alarms }) => alarms,
    alarms_reason: () => shift.alarms.reason,
    ready_before: ({ verification }) => verification.before?.ready,
    valid_until_before_utc: ({ verification }) => verification.before?.validUntil,
    lacking_before: ({ verification }) => lacking(verification.before),
    ready_after: ({ verification }) => verification.after.ready,
    valid_until_after_utc: ({ verification }) => verification.after.validUntil,
    lacking_after: ({ verification }) => lacking(verification.after),
    checked_after_last_arc: ({ verification }) =>
      verification.checkedAfter.map(({ check, result }) => `${check} ${result}`).join('; '),
  };
}

export function shiftJointColumns(shift: Shift): CsvColumns<ShiftJoint> {
  return {
    ...whichShift<ShiftJoint>(shift),
    joint: ({ joint }) => joint,
    passes: ({ passes }) => passes,
    complete: ({ complete }) => complete,
    missing: ({ text }) => text,
    on_hold: ({ onHold }) => onHold,
    disposition: ({ decision }) => decision,
    deviations: ({ deviations }) => deviations,
    changes: ({ changes }) => changes,
  };
}

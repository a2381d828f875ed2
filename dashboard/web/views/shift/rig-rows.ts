/** The table of rigs as texts: a dash for what is not known, its reason as a note. */
import type { Shift, ShiftFigure, ShiftRig, ShiftStanding } from '#core/messages/api-shift';
import type { ShownQuantity } from '#core/units/shown-units';
import type { enShift } from '../../text/en-shift.ts';
import { DASHES, durationText, type Formats } from '../../text/format.ts';
import { said } from '../../text/said.ts';
import { Notes } from './notes.ts';
import { shiftMoment } from './shift-time.ts';

export const RIG_COLUMNS = [
  'passes',
  'arc',
  'factor',
  'wire',
  'wireKg',
  'deposition',
  'gas',
  'spool',
  'deviations',
  'changes',
  'alarms',
  'before',
  'after',
] as const;
export type RigColumn = (typeof RIG_COLUMNS)[number];

export interface Cell {
  readonly text: string;
  /** Numbers of its notes. */
  readonly notes: readonly number[];
}

export interface RigRow {
  readonly site: string;
  readonly rig: string;
  readonly cells: Readonly<Record<RigColumn, Cell>>;
}

export interface RigRows {
  readonly rows: readonly RigRow[];
  readonly notes: readonly string[];
  readonly total: Readonly<
    Record<'wire' | 'wireKg' | 'deposition' | 'gas' | 'alarms' | 'dashboardAlarms', Cell>
  >;
}

type Texts = typeof enShift;

export function rigRows(shift: Shift, t: Texts, { fixed, value: shown }: Formats): RigRows {
  const notes = new Notes();
  const plain = (text: string): Cell => ({ text, notes: [] });
  const noted = (text: string, reason: string | null): Cell => ({
    text,
    notes: reason === null ? [] : [notes.of(said(reason))],
  });
  const figure = (quantity: ShownQuantity, { value, known, of, reason }: ShiftFigure): Cell => {
    const part = value !== null && known < of ? ` ${t.inPasses(known, of)}` : '';
    return noted(`${shown(quantity, value)}${part}`, reason);
  };
  const count = (value: number | null): Cell =>
    value === null ? noted(DASHES, shift.alarms.reason) : plain(String(value));

  const standing = (at: ShiftStanding | null): Cell => {
    if (at === null) return noted(DASHES, t.noArc);
    if (at.ready) {
      return plain(
        at.validUntil === null ? t.provedNoEnd : t.proved(shiftMoment(at.validUntil, shift.zone, shift.date)),
      );
    }
    if (at.missing.length === 0) return noted(t.lacks(1), t.overdue);
    const states = [...new Set(at.missing.map(({ state }) => state))];
    const lists = states.map(state => {
      const names = at.missing.filter(one => one.state === state).map(({ check }) => t.lackList[check]);
      return t.lackNote(t.lackState[state], names.join(', '));
    });
    return noted(t.lacks(at.missing.length), lists.join('; '));
  };

  const cellsOf = (rig: ShiftRig): RigRow['cells'] => {
    const { spool } = rig;
    const left = shown('spoolMass', spool.leftKg);
    return {
      passes: plain(t.withContinuations(rig.passes, rig.continuations)),
      arc:
        rig.arcTimeS === null || rig.elapsedS === null
          ? noted(DASHES, rig.arcReason)
          : plain(t.arcOf(durationText(rig.arcTimeS), durationText(rig.elapsedS))),
      factor:
        rig.operatingFactor === null
          ? noted(DASHES, rig.arcReason)
          : plain(`${fixed(rig.operatingFactor * 100, 1)} %`),
      wire: figure('wireLength', rig.wireM),
      wireKg: figure('wireMass', rig.wireKg),
      deposition: figure('depositionRate', rig.depositionKgPerH),
      gas: figure('gasVolume', rig.gasL),
      spool: noted(spool.estimated ? t.estimated(left) : left, spool.reason),
      deviations: plain(t.openOf(rig.deviationsOpen, rig.deviations)),
      changes: plain(t.openOf(rig.changesOpen, rig.changes)),
      alarms: count(rig.alarms),
      before: standing(rig.verification.before),
      after: standing(rig.verification.after),
    };
  };

  const { total } = shift;
  const totals = {
    wire: figure('wireLength', total.wireM),
    wireKg: figure('wireMass', total.wireKg),
    deposition: figure('depositionRate', total.depositionKgPerH),
    gas: figure('gasVolume', total.gasL),
    alarms: count(shift.alarms.rigs),
    dashboardAlarms: count(shift.alarms.dashboard),
  };
  const rows = shift.rigs.map(rig => ({ site: rig.site, rig: rig.rig, cells: cellsOf(rig) }));
  return {
    rows,
    total: totals,
    notes: [...notes.all, ...shift.rigs.flatMap(rig => rigNotes(rig, t, fixed))],
  };
}

/** What no cell points to. */
function rigNotes(rig: ShiftRig, t: Texts, fixed: Formats['fixed']): string[] {
  const { checkedAfter } = rig.verification;
  return [
    ...(rig.unobservedS > 0 ? [t.notObserved(rig.rig, fixed(rig.unobservedS, 1))] : []),
    ...(rig.clockUnset > 0 ? [t.clockUnset(rig.rig, rig.clockUnset)] : []),
    ...(checkedAfter.length > 0
      ? [
          t.checkedAfter(
            rig.rig,
            checkedAfter.map(({ check, result }) => `${t.lackList[check]} ${t.result[result]}`).join(', '),
          ),
        ]
      : []),
  ];
}

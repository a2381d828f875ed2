import type { Shift } from '#core/messages/api-shift';
import { format, text } from '../../text/text.ts';
import { EventList, eventLines } from './event-list.tsx';
import { jointGroups, lineOfJoint } from './joint-groups.ts';
import { JointLists } from './joint-lists.tsx';
import { printPlan } from './print-cut.ts';
import { rigRows } from './rig-rows.ts';
import { RigTable, ShiftNotes } from './rig-table.tsx';
import { shiftMoment } from './shift-time.ts';
import { ShiftTotals } from './shift-totals.tsx';

/** The page itself, as it is read and printed. */
export function ShiftSheet({ shift }: { readonly shift: Shift }) {
  const t = text.value.shift;
  const { fixed } = format();
  const { zone, date, fromUtc, toUtc, at, running, site, origin, origins } = shift;
  const moment = (utc: string): string => shiftMoment(utc, zone, date);
  const rows = rigRows(shift, t, format());
  const groups = jointGroups(shift.joints, t);
  const events = eventLines(shift);
  const linesOf = (name: keyof typeof groups): string[] => groups[name].map(one => lineOfJoint(one, t));
  const printed = printPlan(rows.rows.length, {
    notes: rows.notes,
    incomplete: linesOf('incomplete'),
    unknown: linesOf('unknown'),
    complete: linesOf('complete'),
    events,
  });
  const others = origins.filter(one => one !== origin);
  return (
    <>
      <p class="shift-span">
        {t.span(moment(fromUtc), moment(toUtc), zone)} {running ? t.running(moment(at)) : t.over(moment(at))}{' '}
        {site === null ? t.allSites : t.ofSite(site)} <span class="hint">{t.zone(zone)}</span>
        {others.length > 0 && <> {t.otherOrigins(others.map(one => text.value.origin[one]).join(', '))}</>}
      </p>
      <p class="shift-caution">
        <strong>{t.caution}</strong> {t.cautionLong}
      </p>
      <ShiftTotals shift={shift} total={rows.total} />
      <h2>{t.rigs}</h2>
      {rows.rows.length === 0 ? <p>{t.noRigs}</p> : <RigTable rows={rows.rows} printed={printed.rigs} />}
      <ShiftNotes
        notes={rows.notes}
        printed={printed.notes}
        definitions={t.definitions(fixed(shift.depositionEfficiency, 2))}
      />
      <h2>{t.joints}</h2>
      <JointLists groups={groups} printed={printed} />
      <h2>{t.events}</h2>
      <EventList lines={events} printed={printed.events} />
    </>
  );
}

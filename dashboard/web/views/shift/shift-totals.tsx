import type { Shift } from '#core/messages/api-shift';
import { DASHES, durationText } from '../../text/format.ts';
import { format, text } from '../../text/text.ts';
import type { RigRows } from './rig-rows.ts';
import { NoteMarks } from './rig-table.tsx';

/** Figures of all rigs together. Counts are of what is recorded. */
export function ShiftTotals({ shift, total }: { readonly shift: Shift; readonly total: RigRows['total'] }) {
  const t = text.value.shift;
  const { units } = format();
  const { joints, withoutJoint, total: work } = shift;
  const of = (complete: boolean | null): number => joints.filter(one => one.complete === complete).length;
  const beside = [
    ...(work.continuations > 0 ? [t.continuations(work.continuations)] : []),
    ...(work.restarts > 0 ? [t.restarts(work.restarts)] : []),
    ...(work.open > 0 ? [t.stillOpen(work.open)] : []),
    ...(withoutJoint > 0 ? [t.withoutJoint(withoutJoint)] : []),
  ];
  const unknown = of(null);
  return (
    <section aria-label={t.totals}>
      <dl class="shift-totals">
        <div>
          <dt>{t.welded}</dt>
          <dd>{joints.length}</dd>
        </div>
        <div>
          <dt>{t.complete}</dt>
          <dd>{of(true)}</dd>
        </div>
        <div>
          <dt>{t.incomplete}</dt>
          <dd>{of(false)}</dd>
        </div>
        {unknown > 0 && (
          <div>
            <dt>{t.unknownJoints}</dt>
            <dd>{unknown}</dd>
          </div>
        )}
        <div>
          <dt>{t.arcTime}</dt>
          <dd>{work.arcTimeS === null ? DASHES : durationText(work.arcTimeS)}</dd>
        </div>
        <div>
          <dt>{t.passes}</dt>
          <dd>
            {work.passes} <small>{beside.join(', ')}</small>
          </dd>
        </div>
        <div>
          <dt>{t.wire}</dt>
          <dd>
            {total.wire.text} {units.wireLength.unit}
            <NoteMarks cell={total.wire} />, {total.wireKg.text} {units.wireMass.unit}
            <NoteMarks cell={total.wireKg} />
          </dd>
        </div>
        <div>
          <dt>{t.deposition}</dt>
          <dd>
            {total.deposition.text} {units.depositionRate.unit}
            <NoteMarks cell={total.deposition} />
          </dd>
        </div>
        <div>
          <dt>{t.gas}</dt>
          <dd>
            {total.gas.text} {units.gasVolume.unit}
            <NoteMarks cell={total.gas} />
          </dd>
        </div>
        <div>
          <dt>{t.changed}</dt>
          <dd>
            {t.spools(work.spoolChanges)}, {t.bottles(work.bottleChanges)}
          </dd>
        </div>
        <div>
          <dt>{t.deviationsOpen}</dt>
          <dd>{t.openOf(work.deviationsOpen, work.deviations)}</dd>
        </div>
        <div>
          <dt>{t.changesOpen}</dt>
          <dd>{t.openOf(work.changesOpen, work.changes)}</dd>
        </div>
        <div>
          <dt>{t.alarms}</dt>
          <dd>
            {t.alarmsOf(total.alarms.text, total.dashboardAlarms.text)}
            <NoteMarks cell={total.alarms} />
          </dd>
        </div>
      </dl>
    </section>
  );
}

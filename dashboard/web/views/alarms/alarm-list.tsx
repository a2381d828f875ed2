import type { Alarm, AlarmPicture } from '#core/messages/api-alarm';
import { useApp } from '../../app-context.ts';
import { listed, waitsForArc } from '../../data/alarm-store.ts';
import { PulseMark } from '../../parts/alarm-marks.tsx';
import { format, text } from '../../text/text.ts';
import { usePeople } from '../verify/use-people.ts';
import { AlarmRow } from './alarm-row.tsx';

type Line = { readonly fold: number; readonly alarms: Alarm[] };

/** In their order; those told in one line stand together where their first would stand. */
export function linesOf(alarms: readonly Alarm[]): Line[] {
  const lines: Line[] = [];
  for (const alarm of alarms) {
    const open = alarm.fold === null ? undefined : lines.find(({ fold }) => fold === alarm.fold);
    if (open) open.alarms.push(alarm);
    else lines.push({ fold: alarm.fold ?? -1, alarms: [alarm] });
  }
  return lines;
}

export function AlarmList() {
  const picture = useApp().alarms.picture.value;
  const t = text.value.alarms;
  const { nameOf } = usePeople();
  if (picture === null) return null;
  const lines = linesOf(listed(picture));
  const waiting = waitsForArc(picture);
  return (
    <>
      {lines.length === 0 && (
        <p class="alarm-none">
          <strong>{t.none}</strong> {t.noneNote}
        </p>
      )}
      <ul class="alarm-list">
        {lines.map(({ fold, alarms }) =>
          fold >= 0 && alarms.length > 1 ? (
            <FoldedAlarms
              key={`fold ${fold}`}
              picture={picture}
              fold={fold}
              alarms={alarms}
              nameOf={nameOf}
            />
          ) : (
            alarms.map(alarm => (
              <li key={alarm.alarm}>
                <AlarmRow alarm={alarm} nameOf={nameOf} />
              </li>
            ))
          ),
        )}
      </ul>
      {waiting > 0 && (
        <p class="note">
          {t.suppressed(waiting)}. {t.suppressedNote}
        </p>
      )}
    </>
  );
}

interface FoldedProps {
  readonly picture: AlarmPicture;
  readonly fold: number;
  readonly alarms: readonly Alarm[];
  readonly nameOf: (id: string) => string;
}

/** One line for a flood, with each of its alarms behind it. */
function FoldedAlarms({ picture, fold, alarms, nameOf }: FoldedProps) {
  const { actions } = useApp();
  const t = text.value.alarms;
  const line = picture.folds[fold];
  const [first] = alarms;
  if (line === undefined || first === undefined) return null;
  const time = (utc: string): string => format().timeOfDay(Date.parse(utc));
  const toAnswer = alarms.filter(({ lifecycle }) => lifecycle === 'unacked' || lifecycle === 'rtnUnacked');
  return (
    <li class="alarm-fold" data-priority={first.priority}>
      <p class="alarm-priority">
        <PulseMark priority={first.priority} /> <strong>{t.priority[first.priority]}</strong>
      </p>
      <h2>{t.fold(line.announcements, time(line.fromUtc), time(line.toUtc))}</h2>
      <p>{t.foldHint}</p>
      {toAnswer.length > 0 && (
        <button
          type="button"
          class="primary"
          disabled={actions.busy.value}
          onClick={() => void actions.acknowledge(toAnswer.map(({ alarm }) => alarm))}
        >
          {t.acknowledgeAll(toAnswer.length)}
        </button>
      )}
      <details>
        <summary>{t.showEach}</summary>
        <ul class="alarm-list">
          {alarms.map(alarm => (
            <li key={alarm.alarm}>
              <AlarmRow alarm={alarm} nameOf={nameOf} />
            </li>
          ))}
        </ul>
      </details>
    </li>
  );
}

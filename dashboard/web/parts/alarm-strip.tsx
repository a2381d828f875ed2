import type { Alarm } from '#core/messages/api-alarm';
import { useApp } from '../app-context.ts';
import { listed } from '../data/alarm-store.ts';
import { format, text } from '../text/text.ts';
import { CauseMark, PulseMark } from './alarm-marks.tsx';
import { placeWords, timeWords } from './alarm-words.ts';
import { WatchControl } from './watch-control.tsx';

/** Views that are watched: there it stands also while there is nothing to say. */
const WATCHED: ReadonlySet<string> = new Set(['live', 'trends', 'alarms']);

/** Over every view: the alarm that comes first, and whether this device makes a sound. */
export function AlarmStrip() {
  const { alarms, route, session, watch } = useApp();
  const t = text.value.alarms;
  const picture = alarms.picture.value;
  const shown = picture === null ? [] : listed(picture);
  const [first] = shown;
  const wanted = WATCHED.has(route.value.view) || watch.sound.value === 'on' || watch.sound.value === 'lost';
  const waits = shown.some(({ lifecycle }) => lifecycle === 'unacked' || lifecycle === 'rtnUnacked');
  if (!wanted && !waits) return null;
  const fold = first?.fold ?? null;
  return (
    <section class="alarm-strip" aria-label={t.stripLabel} data-view={route.value.view}>
      {route.value.view !== 'alarms' && (
        <div class="strip-words">
          {picture === null || (first === undefined && !alarms.isLinked.value) ? (
            <p>{session.isOut.value ? t.unknownOut : t.unknown}</p>
          ) : first === undefined ? (
            <p>
              {t.none} <span class="strip-note">{t.noneNote}</span>
            </p>
          ) : fold !== null ? (
            <FoldedFirst first={first} n={picture.folds[fold]?.announcements ?? 0} fold={fold} />
          ) : (
            <FirstAlarm alarm={first} />
          )}
          {first !== undefined && (
            <a class="button strip-all" href="#/alarms">
              {shown.length > 1 && fold === null ? t.more(shown.length - 1) : t.all}
            </a>
          )}
        </div>
      )}
      <WatchControl />
    </section>
  );
}

function FirstAlarm({ alarm }: { readonly alarm: Alarm }) {
  const { rigs, actions } = useApp();
  const t = text.value.alarms;
  const { priority, lifecycle, cause, count } = alarm;
  const toAnswer = lifecycle === 'unacked' || lifecycle === 'rtnUnacked';
  return (
    <>
      <a class="strip-alarm" href="#/alarms" data-priority={priority} data-lifecycle={lifecycle}>
        <span class="strip-priority">
          <PulseMark priority={priority} />
          <strong>{t.priority[priority]}</strong>
        </span>
        <CauseMark cause={cause} />
        <span class="strip-what">
          <strong>{t.cause[cause]}</strong>
          {count > 1 && <> {t.times(count)}</>}{' '}
          <bdi>
            {placeWords(alarm).map((words, index) => (
              <span key={words} class="strip-place">
                {index > 0 && '· '}
                {words}{' '}
              </span>
            ))}
          </bdi>
          <span class="strip-time">{timeWords(alarm, rigs.nowMs.value)}</span>
        </span>
      </a>
      {toAnswer && (
        <button
          type="button"
          class="strip-answer"
          disabled={actions.busy.value}
          onClick={() => void answer(actions, [alarm.alarm])}
        >
          {t.acknowledge}
        </button>
      )}
    </>
  );
}

function FoldedFirst({
  first,
  n,
  fold,
}: {
  readonly first: Alarm;
  readonly n: number;
  readonly fold: number;
}) {
  const { alarms } = useApp();
  const t = text.value.alarms;
  const line = alarms.picture.value?.folds[fold];
  const time = (utc: string | undefined): string =>
    utc === undefined ? '' : format().timeOfDay(Date.parse(utc));
  return (
    <a class="strip-alarm" href="#/alarms" data-priority={first.priority} data-lifecycle={first.lifecycle}>
      <span class="strip-priority">
        <PulseMark priority={first.priority} />
        <strong>{t.priority[first.priority]}</strong>
      </span>
      <span class="strip-what">
        <strong>{t.fold(n, time(line?.fromUtc), time(line?.toUtc))}</strong> {t.cause[first.cause]}
      </span>
    </a>
  );
}

type Actions = ReturnType<typeof useApp>['actions'];

/** Without a name yet, or refused: the list of alarms asks and says why. */
async function answer(actions: Actions, numbers: readonly number[]): Promise<void> {
  if (!(await actions.acknowledge(numbers))) window.location.hash = '#/alarms';
}

import type { Alarm } from '#core/messages/api-alarm';
import { useApp } from '../../app-context.ts';
import { text } from '../../text/text.ts';

const MINUTES = [10, 30, 60] as const;

/** The second tap says why and for how long at once: a reason a row, a time a button. */
export function ShelvePanel({ alarm }: { readonly alarm: Alarm }) {
  const { actions } = useApp();
  const t = text.value.alarms;
  return (
    <fieldset class="shelve">
      <legend>{t.shelveTitle(t.cause[alarm.cause], alarm.rig ?? t.dashboard)}</legend>
      <p>{t.shelveNote}</p>
      <ul>
        {t.shelfReasons.map(reason => (
          <li key={reason}>
            <span>{reason}</span>
            <span class="shelve-times">
              {MINUTES.map(minutes => (
                <button
                  key={minutes}
                  type="button"
                  aria-label={t.shelveFor(reason, minutes)}
                  disabled={actions.busy.value}
                  onClick={() => void actions.shelve(alarm, reason, minutes)}
                >
                  {t.minutes(minutes)}
                </button>
              ))}
            </span>
          </li>
        ))}
      </ul>
    </fieldset>
  );
}

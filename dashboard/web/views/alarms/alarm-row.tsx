import { useState } from 'preact/hooks';
import type { Alarm } from '#core/messages/api-alarm';
import { useApp } from '../../app-context.ts';
import { CauseMark, PlaceRing, PulseMark } from '../../parts/alarm-marks.tsx';
import { aroundUrl, placeWords, timeWords } from '../../parts/alarm-words.ts';
import { said } from '../../text/said.ts';
import { format, text } from '../../text/text.ts';
import { ShelvePanel } from './shelve-panel.tsx';

interface AlarmRowProps {
  readonly alarm: Alarm;
  readonly nameOf: (id: string) => string;
}

/** One alarm: how urgent, where on the ring, what is so, what to do, and what can be done about the alarm. */
export function AlarmRow({ alarm, nameOf }: AlarmRowProps) {
  const { rigs, actions } = useApp();
  const [shelving, setShelving] = useState(false);
  const t = text.value.alarms;
  const { priority, lifecycle, cause, count, work, place, acknowledged } = alarm;
  const around = aroundUrl(alarm);
  const toAnswer = lifecycle === 'unacked' || lifecycle === 'rtnUnacked';
  return (
    <article
      class="alarm"
      data-alarm={alarm.alarm}
      data-priority={priority}
      data-lifecycle={lifecycle}
      data-cause={cause}
    >
      <p class="alarm-priority">
        <PulseMark priority={priority} /> <strong>{t.priority[priority]}</strong>
      </p>
      <PlaceRing side={work?.side ?? null} clock={place?.clock ?? null} />
      <div class="alarm-words">
        <h2>
          <CauseMark cause={cause} /> {t.cause[cause]}
          {count > 1 && (
            <span class="alarm-count">
              {' '}
              <span aria-hidden="true">{t.times(count)}</span>
              <span class="sr-only">{t.timesSaid(count)}</span>
            </span>
          )}
        </h2>
        <p class="alarm-place">
          <bdi>{placeWords(alarm).join(' · ')}</bdi>
        </p>
        <p class="alarm-state">
          <strong>{t.lifecycle[lifecycle]}</strong>, {timeWords(alarm, rigs.nowMs.value)}
        </p>
        {acknowledged !== null && (
          <p class="alarm-by">
            {t.acknowledgedBy(nameOf(acknowledged.by), format().timeOfDay(Date.parse(acknowledged.atUtc)))}
          </p>
        )}
        {!alarm.heard && <p class="alarm-unheard">{t.notHeard}</p>}
        <p>{said(alarm.text)}</p>
        <p>
          <strong>{t.doThis}</strong> {said(alarm.action)}
        </p>
      </div>
      <p class="alarm-actions">
        {toAnswer && (
          <button
            type="button"
            class="primary"
            disabled={actions.busy.value}
            onClick={() => void actions.acknowledge([alarm.alarm])}
          >
            {t.acknowledge}
          </button>
        )}
        {lifecycle === 'latched' && (
          <button
            type="button"
            class="primary"
            disabled={actions.busy.value}
            onClick={() => void actions.reset([alarm.alarm])}
          >
            {t.reset}
          </button>
        )}
        {around !== null && (
          <a class="button" href={around}>
            {t.trend}
          </a>
        )}
        {alarm.availability === 'inService' && (
          <button type="button" aria-expanded={shelving} onClick={() => setShelving(!shelving)}>
            {shelving ? t.close : t.shelve}
          </button>
        )}
      </p>
      {shelving && <ShelvePanel alarm={alarm} />}
    </article>
  );
}

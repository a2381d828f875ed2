import type { AlarmPicture } from '#core/messages/api-alarm';
import { useApp } from '../../app-context.ts';
import { CauseMark } from '../../parts/alarm-marks.tsx';
import { whenText } from '../../parts/when-text.ts';
import { durationText } from '../../text/format.ts';
import { format, text } from '../../text/text.ts';
import { usePeople } from '../verify/use-people.ts';
import { ServiceForm } from './service-form.tsx';

type Away = AlarmPicture['away'][number];

/** What says nothing because a person wanted it so: with its end, or without one. */
export function AwayList() {
  const { alarms, actions, rigs } = useApp();
  const t = text.value.alarms.away;
  const { nameOf } = usePeople();
  const away = alarms.picture.value?.away ?? [];
  const shelved = away.filter(({ shelf }) => shelf !== null);
  const out = away.filter(({ outOfService }) => outOfService !== null);
  return (
    <>
      <h2>{t.shelvedTitle}</h2>
      {shelved.length === 0 && <p>{t.shelvedNone}</p>}
      <ul class="away-list">
        {shelved.map(one => (
          <li key={keyOf(one)}>
            <AwayWords away={one} />
            {one.shelf !== null && (
              <p>
                <strong>
                  {t.left(
                    durationText(Math.max(0, (Date.parse(one.shelf.untilUtc) - rigs.nowMs.value) / 1000)),
                  )}
                </strong>
                , {t.until(format().timeOfDay(Date.parse(one.shelf.untilUtc)))}. {one.shelf.reason},{' '}
                {t.by(nameOf(one.shelf.by), whenText(one.shelf.atUtc))}.
              </p>
            )}
            <button type="button" disabled={actions.busy.value} onClick={() => void actions.unshelve(one)}>
              {t.unshelve}
            </button>
          </li>
        ))}
      </ul>
      <h2>{t.serviceTitle}</h2>
      <p class="note">{t.serviceNote}</p>
      {out.length === 0 && <p>{t.serviceNone}</p>}
      <ul class="away-list">
        {out.map(one => (
          <li key={keyOf(one)}>
            <AwayWords away={one} />
            {one.outOfService !== null && (
              <p>
                {one.outOfService.reason},{' '}
                {t.by(nameOf(one.outOfService.by), whenText(one.outOfService.atUtc))}.
              </p>
            )}
            <button
              type="button"
              disabled={actions.busy.value}
              onClick={() => void actions.setService(one, t.backReason, true)}
            >
              {t.back}
            </button>
          </li>
        ))}
      </ul>
      <ServiceForm />
    </>
  );
}

const keyOf = ({ site, rig, cause }: Away): string => `${site}/${rig} ${cause}`;

function AwayWords({ away: { cause, rig } }: { readonly away: Away }) {
  const t = text.value.alarms;
  return (
    <p class="away-what">
      <CauseMark cause={cause} /> <strong>{t.cause[cause]}</strong> · <bdi>{rig ?? t.dashboard}</bdi>
    </p>
  );
}

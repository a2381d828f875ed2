import { useApp } from '../../app-context.ts';
import { format, text } from '../../text/text.ts';
import { AlarmList } from './alarm-list.tsx';
import { ALARM_TABS, type AlarmTab, alarmsUrl } from './alarms-route.ts';
import { AwayList } from './away-list.tsx';
import { BudgetLine } from './budget-line.tsx';
import { HistoryList } from './history-list.tsx';
import { WhoActs } from './who-acts.tsx';

/** What someone must act on now, what is put away, and everything that was announced and done. */
export function AlarmsView({ tab }: { readonly tab: AlarmTab }) {
  const { alarms, actions, rigs } = useApp();
  const t = text.value.alarms;
  const failure = actions.failure.value;
  const link = rigs.link.value;
  return (
    <section class="alarms-view">
      <h1>{t.title}</h1>
      <BudgetLine />
      <nav class="alarm-tabs" aria-label={t.title}>
        {ALARM_TABS.map(one => (
          <a
            key={one}
            class="button"
            href={alarmsUrl({ tab: one })}
            aria-current={one === tab ? 'true' : undefined}
          >
            {t.tabs[one]}
            {one === 'away' && (alarms.picture.value?.away.length ?? 0) > 0 && (
              <> ({alarms.picture.value?.away.length})</>
            )}
          </a>
        ))}
      </nav>
      <WhoActs />
      <div role="alert">
        {failure !== null && <p class="message out">{t.refused(failure === '' ? t.noServer : failure)}</p>}
      </div>
      {!alarms.isLinked.value && (
        <p class="message nodata">
          {link.downSinceMs === null ? t.unknown : t.lastKnown(format().timeOfDay(link.downSinceMs))}
        </p>
      )}
      {tab === 'now' && <AlarmList />}
      {tab === 'away' && <AwayList />}
      {tab === 'history' && <HistoryList />}
      <p class="note">{t.monitoring}</p>
    </section>
  );
}

import { text } from '../../text/text.ts';
import { CallList } from './call-list.tsx';
import { type ChangesRoute, changesUrl } from './changes-route.ts';
import { OverJointsView } from './over-joints-view.tsx';
import { SettingsView } from './settings-view.tsx';

const TABS: readonly ChangesRoute[] = [
  { view: 'changes' },
  { view: 'changesOver', type: null, quantity: 'weldingCurrent' },
  { view: 'changesSettings' },
];

/** Three pages of one matter, each with its own address. */
export function ChangesView({ route }: { readonly route: ChangesRoute }) {
  const t = text.value.changes;
  return (
    <section class="sheet changes">
      <nav class="changes-tabs" aria-label={t.label}>
        {TABS.map(tab => (
          <a
            key={tab.view}
            class="button"
            href={changesUrl(tab)}
            {...(tab.view === route.view ? { 'aria-current': 'page' as const } : {})}
          >
            {t.tabs[tab.view]}
          </a>
        ))}
      </nav>
      {route.view === 'changes' && <CallList />}
      {route.view === 'changesOver' && <OverJointsView route={route} />}
      {route.view === 'changesSettings' && <SettingsView />}
    </section>
  );
}

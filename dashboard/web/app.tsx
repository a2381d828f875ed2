import { useEffect, useRef } from 'preact/hooks';
import { useApp } from './app-context.ts';
import { Announcer } from './parts/announcer.tsx';
import { NewerPage } from './parts/newer-page.tsx';
import { PageFooter } from './parts/page-footer.tsx';
import { ScreenNav } from './parts/screen-nav.tsx';
import { TrustLine } from './parts/trust-line.tsx';
import { text } from './text/text.ts';
import { AboutView } from './views/about/about-view.tsx';
import { AssignView } from './views/assign/assign-view.tsx';
import { LiveView } from './views/live/live-view.tsx';
import { ReadyView } from './views/ready/ready-view.tsx';
import { SumsView } from './views/sums/sums-view.tsx';
import { TrendsView } from './views/trends/trends-view.tsx';
import { VerifyView } from './views/verify/verify-view.tsx';

function CurrentView() {
  const route = useApp().route.value;
  if (route.view === 'about') return <AboutView />;
  if (route.view === 'ready') return <ReadyView />;
  if (route.view === 'sums') return <SumsView key={route.name ?? ''} name={route.name} />;
  if (route.view === 'verify') {
    const { site, rig, check } = route;
    return <VerifyView key={`${site}/${rig}/${check}`} site={site} rig={rig} check={check} />;
  }
  if (route.view === 'trends') {
    return (
      <TrendsView key={`${route.site}/${route.rig}`} site={route.site} rig={route.rig} spanS={route.spanS} />
    );
  }
  if (route.view === 'assign') {
    return <AssignView key={`${route.site}/${route.rig}`} site={route.site} rig={route.rig} />;
  }
  return <LiveView />;
}

/** The trust line stands over every view, the caution under it. */
export function App() {
  const { route } = useApp();
  const main = useRef<HTMLElement>(null);
  const first = useRef(true);
  const view = route.value.view;
  // The focus follows the view, nothing else.
  useEffect(() => {
    // A keyboard or a screen reader starts each new view at its top; the first load keeps the browser's own focus.
    if (!first.current) main.current?.focus();
    first.current = false;
  }, [view]);
  return (
    <>
      <button class="skip" type="button" onClick={() => main.current?.focus()}>
        {text.value.skipToMain}
      </button>
      <TrustLine />
      <NewerPage />
      <ScreenNav />
      <main id="main" tabIndex={-1} ref={main}>
        <CurrentView />
      </main>
      <PageFooter />
      <Announcer />
    </>
  );
}

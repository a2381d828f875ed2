import { useEffect, useRef } from 'preact/hooks';
import { useApp } from './app-context.ts';
import { AlarmStrip } from './parts/alarm-strip.tsx';
import { Announcer } from './parts/announcer.tsx';
import { NewerPage } from './parts/newer-page.tsx';
import { PageFooter } from './parts/page-footer.tsx';
import { ScreenNav } from './parts/screen-nav.tsx';
import { SessionNotice } from './parts/session-notice.tsx';
import { SignInOver } from './parts/sign-in-over.tsx';
import { ThinnedNote } from './parts/thinned-note.tsx';
import { TrainingBanner } from './parts/training-banner.tsx';
import { TruckConditions } from './parts/truck-conditions.tsx';
import { TrustLine } from './parts/trust-line.tsx';
import { ZoneNote } from './parts/zone-note.tsx';
import { text } from './text/text.ts';
import { AboutView } from './views/about/about-view.tsx';
import { isAccountRoute } from './views/accounts/account-route.ts';
import { AccountViews } from './views/accounts/account-views.tsx';
import { SetUpView } from './views/accounts/set-up-view.tsx';
import { SignInView } from './views/accounts/sign-in-view.tsx';
import { AlarmsView } from './views/alarms/alarms-view.tsx';
import { AssignView } from './views/assign/assign-view.tsx';
import { isChangesRoute } from './views/changes/changes-route.ts';
import { ChangesView } from './views/changes/changes-view.tsx';
import { DispositionView } from './views/joints/disposition/disposition-view.tsx';
import { JointView } from './views/joints/joint-view.tsx';
import { JointsView } from './views/joints/joints-view.tsx';
import { MovePassView } from './views/joints/move-pass-view.tsx';
import { OpenJointView } from './views/joints/open-joint-view.tsx';
import { TaskView } from './views/joints/task-view.tsx';
import { LiveView } from './views/live/live-view.tsx';
import { isProceduresRoute } from './views/procedures/procedures-route.ts';
import { ProceduresView } from './views/procedures/procedures-view.tsx';
import { ReadyView } from './views/ready/ready-view.tsx';
import { ReviewView } from './views/review/review-view.tsx';
import { RigEventView } from './views/rig-events/event-view.tsx';
import { SettingsView } from './views/settings/settings-view.tsx';
import { ShiftView } from './views/shift/shift-view.tsx';
import { SumsView } from './views/sums/sums-view.tsx';
import { isTrainingRoute } from './views/training/training-route.ts';
import { TrainingView } from './views/training/training-view.tsx';
import { TrendAtView } from './views/trends/trend-at-view.tsx';
import { TrendsView } from './views/trends/trends-view.tsx';
import { VerifyView } from './views/verify/verify-view.tsx';

function CurrentView() {
  const { route: current, session } = useApp();
  const route = current.value;
  const gate = session.gate.value;
  if (gate === 'setUp') return <SetUpView />;
  if (gate === 'signIn' && route.view !== 'about' && route.view !== 'settings' && route.view !== 'setUp') {
    return <SignInView />;
  }
  if (isAccountRoute(route)) return <AccountViews route={route} />;
  if (route.view === 'about') return <AboutView />;
  if (route.view === 'settings') return <SettingsView />;
  if (route.view === 'ready') return <ReadyView />;
  if (route.view === 'alarms') return <AlarmsView tab={route.tab} />;
  if (isProceduresRoute(route)) return <ProceduresView route={route} />;
  if (isChangesRoute(route)) return <ChangesView route={route} />;
  if (isTrainingRoute(route)) return <TrainingView route={route} />;
  if (route.view === 'jointReview') return <ReviewView key={route.joint} route={route} />;
  if (route.view === 'shift') return <ShiftView route={route} />;
  if (route.view === 'sums') return <SumsView key={route.name ?? ''} name={route.name} />;
  if (route.view === 'verify') {
    const { site, rig, check } = route;
    return <VerifyView key={`${site}/${rig}/${check}`} site={site} rig={rig} check={check} />;
  }
  if (route.view === 'joints') return <JointsView find={route.find} />;
  if (route.view === 'openJoint') return <OpenJointView key={route.joint} joint={route.joint} />;
  if (route.view === 'joint') return <JointView key={route.joint} joint={route.joint} />;
  if (route.view === 'jointTask') {
    const { joint, task, start } = route;
    const key = `${joint}/${task}/${JSON.stringify(start)}`;
    return <TaskView key={key} joint={joint} task={task} start={start} />;
  }
  if (route.view === 'disposition') {
    const { joint, corrects } = route;
    return <DispositionView key={`${joint}/${corrects}`} joint={joint} corrects={corrects} />;
  }
  if (route.view === 'movePass') {
    const { passId, joint } = route;
    return <MovePassView key={`${passId}/${joint}`} passId={passId} joint={joint} />;
  }
  if (route.view === 'rigEvent') {
    const { site, rig, corrects } = route;
    return <RigEventView key={`${site}/${rig}/${corrects}`} site={site} rig={rig} corrects={corrects} />;
  }
  if (route.view === 'trends' && route.atMs !== undefined) {
    const { site, rig, atMs, debrief } = route;
    const key = `${site}/${rig}/${atMs}`;
    return <TrendAtView key={key} site={site} rig={rig} atMs={atMs} debrief={debrief ?? null} />;
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
    if (!first.current && main.current !== null) {
      main.current.focus({ preventScroll: true });
      // The trust line and the names of the screens stay in sight, over live values always, elsewhere but where they
      // leave little room (a phone); an event at a rig is two taps, without scrolling.
      window.scrollTo(0, 0);
      const isCrowded = view !== 'live' && main.current.offsetTop > window.innerHeight / 3;
      if (view === 'rigEvent' || isCrowded) main.current.scrollIntoView();
    }
    first.current = false;
  }, [view]);
  return (
    <>
      <button class="skip" type="button" onClick={() => main.current?.focus()}>
        {text.value.skipToMain}
      </button>
      <TrustLine />
      <TrainingBanner />
      <TruckConditions />
      <ThinnedNote />
      <SessionNotice />
      <NewerPage />
      <ZoneNote />
      <div class="top-bar">
        <ScreenNav />
        <AlarmStrip />
      </div>
      <main id="main" tabIndex={-1} ref={main}>
        <CurrentView />
      </main>
      <PageFooter />
      <Announcer />
      <SignInOver />
    </>
  );
}

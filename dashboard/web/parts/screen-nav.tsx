import { useApp } from '../app-context.ts';
import type { Route } from '../routes.ts';
import { text } from '../text/text.ts';

const SCREENS = [
  'live',
  'alarms',
  'ready',
  'joints',
  'changes',
  'shift',
  'procedures',
  'sums',
  'training',
] as const;
type Screen = (typeof SCREENS)[number];

/** The screen a view belongs to: a rig's checks to readiness, a revision to the procedures. */
function screenOf(view: Route['view']): Screen | null {
  if (view === 'verify') return 'ready';
  if (view === 'trends' || view === 'assign' || view === 'rigEvent') return 'live';
  if (view === 'openJoint' || view === 'movePass') return 'joints';
  return SCREENS.find(screen => view.startsWith(screen) || view.startsWith(screen.replace(/s$/, ''))) ?? null;
}

/** From any screen to any other. */
export function ScreenNav() {
  const { route, training } = useApp();
  const t = text.value.screens;
  const here = screenOf(route.value.view);
  return (
    <nav class="screens" aria-label={t.label}>
      {SCREENS.filter(screen => screen !== 'training' || training.isOn).map(screen => (
        <a
          key={screen}
          href={screen === 'live' ? '#/' : `#/${screen}`}
          {...(screen === here ? { 'aria-current': 'page' as const } : {})}
        >
          {t[screen]}
        </a>
      ))}
    </nav>
  );
}

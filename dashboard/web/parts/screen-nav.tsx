import { useEffect, useState } from 'preact/hooks';
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
  if (view === 'openJoint' || view === 'movePass' || view === 'disposition') return 'joints';
  return SCREENS.find(screen => view.startsWith(screen) || view.startsWith(screen.replace(/s$/, ''))) ?? null;
}

/** From any screen to any other; on a phone behind one button, for the room belongs to the weld. */
export function ScreenNav() {
  const { route, training } = useApp();
  const [open, setOpen] = useState(false);
  const t = text.value.screens;
  const { view } = route.value;
  const here = screenOf(view);
  // Closed by whatever leads to another view.
  useEffect(() => setOpen(false), [view]);
  return (
    <nav class="screens" aria-label={t.label} data-open={open ? 'yes' : 'no'}>
      {SCREENS.filter(screen => screen !== 'training' || training.isOn).map(screen => (
        <a
          key={screen}
          href={screen === 'live' ? '#/' : `#/${screen}`}
          onClick={() => setOpen(false)}
          {...(screen === here ? { 'aria-current': 'page' as const } : {})}
        >
          {t[screen]}
        </a>
      ))}
      <button class="screens-more" type="button" aria-expanded={open} onClick={() => setOpen(!open)}>
        {t.label}
      </button>
    </nav>
  );
}

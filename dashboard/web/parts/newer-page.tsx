import { useEffect } from 'preact/hooks';
import { useApp } from '../app-context.ts';
import type { Route } from '../routes.ts';
import { text } from '../text/text.ts';

/** Views in which nothing is typed: there the new page is loaded at once. */
const READ_ONLY: readonly Route['view'][] = ['live', 'alarms', 'trends', 'ready', 'about'];

/** The server has a newer page than the one open: it is loaded as soon as nothing is lost by it. */
export function NewerPage() {
  const { shell, screen, route } = useApp();
  const t = text.value.screens;
  const newer = shell.newer.value;
  const { view } = route.value;
  useEffect(() => {
    if (!newer) return;
    // A screen that is being kept awake would fall asleep unnoticed: there the person says when.
    if (READ_ONLY.includes(view) && screen.awake.value !== 'on') {
      window.location.reload();
      return;
    }
    const onMove = (): void => window.location.reload();
    window.addEventListener('hashchange', onMove);
    return () => window.removeEventListener('hashchange', onMove);
  }, [newer, view, screen]);
  if (!newer) return null;
  return (
    <div class="newer" role="status">
      <span>{t.newer}</span>
      <button type="button" onClick={() => window.location.reload()}>
        {t.loadNewer}
      </button>
    </div>
  );
}

/** The heading of the one pass that is looked at. */
export const INSPECTOR_TITLE = 'inspector-title';

/** Whoever picks a pass sees it: it stands far below strip, table and calls. Once the page shows the one picked. */
export function toInspector(): void {
  requestAnimationFrame(() =>
    requestAnimationFrame(() => {
      const title = document.getElementById(INSPECTOR_TITLE);
      title?.focus({ preventScroll: true });
      title?.scrollIntoView();
    }),
  );
}

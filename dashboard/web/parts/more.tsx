import type { ComponentChildren } from 'preact';
import { useEffect, useRef } from 'preact/hooks';

interface MoreProps {
  readonly label: ComponentChildren;
  /** Opens it; it is never closed under somebody's hands. */
  readonly open: boolean;
  readonly class?: string;
  readonly children: ComponentChildren;
}

/** What is needed less often, behind one line. */
export function More({ label, open, class: extra, children }: MoreProps) {
  const details = useRef<HTMLDetailsElement>(null);
  // The browser keeps whether it is open; only opening follows the page.
  useEffect(() => {
    if (open && details.current !== null) details.current.open = true;
  }, [open]);
  return (
    <details class={extra === undefined ? 'more' : `more ${extra}`} ref={details}>
      <summary>{label}</summary>
      {children}
    </details>
  );
}

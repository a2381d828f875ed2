import { useEffect, useRef, useState } from 'preact/hooks';
import { useApp } from '../../app-context.ts';
import type { ReviewRoute } from './review-route.ts';

/** Browsers refuse to have the address changed many times a second: it follows when the cursor rests, ms. */
const REST_MS = 250;

/** One cursor for strip, charts and numbers: it moves at once, and the address follows. */
export function useCursor(route: ReviewRoute): readonly [number | null, (mm: number | null) => void] {
  const { replace } = useApp();
  const [cursorMm, setCursor] = useState(route.cursorMm);
  const now = useRef(route);
  now.current = route;
  const moved = useRef<ReturnType<typeof setTimeout> | null>(null);
  // An address opened while the page stands: a link, or back.
  useEffect(() => {
    if (moved.current === null) setCursor(route.cursorMm);
  }, [route.cursorMm, route.pass]);
  useEffect(
    () => () => {
      if (moved.current !== null) clearTimeout(moved.current);
    },
    [],
  );
  const move = (mm: number | null): void => {
    setCursor(mm);
    if (moved.current !== null) clearTimeout(moved.current);
    moved.current = setTimeout(() => {
      moved.current = null;
      replace({ ...now.current, cursorMm: mm });
    }, REST_MS);
  };
  return [cursorMm, move];
}

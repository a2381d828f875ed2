import { useEffect, useState } from 'preact/hooks';
import { manner } from '../../text/text.ts';

/** A check is of now: what was typed longer ago than this is not offered as if it were, ms. */
const KEPT_MS = 1_800_000;

interface Kept<T> {
  readonly atMs: number;
  readonly draft: Partial<T>;
}

/** What is typed, kept in this tab for half an hour: a reload or a sleeping phone loses nothing of it. */
export function useDraft<T extends object>(
  name: string,
  initial: () => T,
): readonly [T, (part: Partial<T>) => void, () => void] {
  // A number typed in one unit is never taken up again in another.
  const key = manner.value.units === 'metric' ? name : `${name}/${manner.value.units}`;
  const [draft, setDraft] = useState<T>(() => {
    const fresh = initial();
    try {
      const kept = JSON.parse(sessionStorage.getItem(key) ?? 'null') as Kept<T> | null;
      return kept === null || Date.now() - kept.atMs > KEPT_MS ? fresh : { ...fresh, ...kept.draft };
    } catch {
      return fresh;
    }
  });
  const [touched, setTouched] = useState(false);
  useEffect(() => {
    if (touched) sessionStorage.setItem(key, JSON.stringify({ atMs: Date.now(), draft }));
  }, [key, draft, touched]);
  return [
    draft,
    part => {
      setTouched(true);
      setDraft(now => ({ ...now, ...part }));
    },
    () => {
      setTouched(false);
      sessionStorage.removeItem(key);
      setDraft(initial());
    },
  ];
}

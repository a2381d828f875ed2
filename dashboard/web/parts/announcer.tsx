import { useEffect, useRef, useState } from 'preact/hooks';
import { useApp } from '../app-context.ts';
import { text } from '../text/text.ts';
import { statusWord } from './status-word.ts';

/** Says aloud, for a screen reader, which side changed its status or went out of range. Nothing is shown. */
export function Announcer() {
  const { rigs } = useApp();
  const before = useRef(new Map<string, string>());
  const [said, say] = useState('');
  const t = text.value;
  const now = rigs.entries.value.map(entry => {
    const view = entry.view.value;
    const out = view.outOfRange.map(flag => t.quantity[flag.quantity] ?? flag.quantity);
    const flags = [
      ...(view.passMismatch === null ? [] : [t.passMismatch]),
      ...(out.length > 0 ? [`${t.outOfRange} ${out.join(', ')}`] : []),
    ];
    const word = flags.length > 0 ? flags.join(', ') : statusWord(t, view.feed);
    const side = view.work === null ? '' : `, ${t.sideOf(view.work.side)}`;
    return { key: view.key, line: `${t.rig(view.rig)}${side}: ${word}` };
  });
  const all = now.map(({ line }) => line).join('|');
  // `all` is `now` as text.
  useEffect(() => {
    const changed = now.filter(({ key, line }) => {
      const known = before.current.get(key);
      return known !== undefined && known !== line;
    });
    for (const { key, line } of now) before.current.set(key, line);
    if (changed.length > 0) say(changed.map(({ line }) => line).join('. '));
  }, [all]);
  return (
    <div class="sr-only" role="status" aria-live="polite">
      {said}
    </div>
  );
}

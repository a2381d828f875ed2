import { useEffect, useRef, useState } from 'preact/hooks';
import { useApp } from '../app-context.ts';
import { listed } from '../data/alarm-store.ts';
import { text } from '../text/text.ts';
import { placeWords } from './alarm-words.ts';
import { statusWord } from './status-word.ts';

/**
 * Says aloud, for a screen reader, which side changed its status or went out of range, and each alarm as it is
 * announced. Nothing is shown.
 */
export function Announcer() {
  const { rigs, alarms } = useApp();
  const before = useRef(new Map<string, string>());
  const [said, say] = useState('');
  const t = text.value;
  const now = rigs.entries.value.map(entry => {
    const view = entry.view.value;
    const out = view.outOfRange.map(flag => t.quantity[flag.quantity] ?? flag.quantity);
    const flags = [
      ...(view.passMismatch === null ? [] : [t.passMismatch]),
      ...(out.length > 0 ? [`${t.outOfRange} ${out.join(', ')}`] : []),
      ...(view.drifting.length > 0 ? [t.alarms.drifting.word] : []),
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
  const picture = alarms.picture.value;
  const newest = picture?.newest ?? null;
  const heard = useRef<number | null>(null);
  useEffect(() => {
    if (picture === null || newest === null) return;
    const from = heard.current;
    heard.current = newest;
    // What was announced before this page was opened is on the screen, and is not said again.
    if (from === null) return;
    const told = listed(picture).filter(({ announcement }) => (announcement?.number ?? 0) > from);
    if (told.length === 0) return;
    const words = told.map(one =>
      t.alarms.said(
        t.alarms.priority[one.priority],
        [t.alarms.cause[one.cause], ...placeWords(one)].join(', '),
      ),
    );
    say(words.join('. '));
  }, [newest]);
  return (
    <div class="sr-only" role="status" aria-live="polite">
      {said}
    </div>
  );
}

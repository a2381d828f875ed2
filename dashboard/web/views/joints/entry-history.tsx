import type { Entry } from '#core/journal/entry';
import { whenText } from '../../parts/when-text.ts';
import { text } from '../../text/text.ts';
import { entryWords } from './entry-words.ts';
import { TASK_OF_KIND } from './forms/joint-forms.ts';
import { dispositionUrl, moveUrl, taskUrl } from './joint-routes.ts';

interface EntryHistoryProps {
  readonly joint: string;
  readonly entries: readonly Entry[];
  readonly nameOf: (id: string) => string;
}

/** Where an entry is put right: a moved pass by moving it on, everything else by its form. */
function correctUrl(joint: string, entry: Entry): string | null {
  if (entry.body.kind === 'passMoved') return moveUrl(entry.body.passId, joint);
  if (entry.body.kind === 'disposition') return dispositionUrl(joint, entry.id);
  const task = TASK_OF_KIND[entry.body.kind];
  return task === undefined ? null : taskUrl(joint, task, { corrects: entry.id });
}

/** Every entry about a joint, newest first. What was corrected stays, struck through, with who and why. */
export function EntryHistory({ joint, entries, nameOf }: EntryHistoryProps) {
  const t = text.value.joints;
  const newestFirst = [...entries].sort((a, b) => b.number - a.number);
  if (newestFirst.length === 0) return <p>{t.historyNone}</p>;
  return (
    <ol class="entry-list" reversed>
      {newestFirst.map(entry => {
        const correction = entries.find(({ corrects }) => corrects === entry.id) ?? null;
        const words = entryWords(entry, nameOf);
        const url = correction === null ? correctUrl(joint, entry) : null;
        return (
          <li key={entry.id} data-corrected={correction !== null}>
            <div>
              <strong>{whenText(entry.at)}</strong>{' '}
              {correction === null ? <bdi>{words}</bdi> : <s>{words}</s>}{' '}
              <span class="by">
                {nameOf(entry.author)}, {t.shift(entry.shiftDate)}
              </span>
              {entry.reason !== null && <p>{t.because(entry.reason)}</p>}
              {correction !== null && (
                <p class="hint">
                  {t.correctedBy(nameOf(correction.author), whenText(correction.at), correction.reason ?? '')}
                </p>
              )}
            </div>
            {url !== null && (
              <a class="button" href={url}>
                {t.correct}
                <span class="sr-only">{t.correctOf(words, whenText(entry.at))}</span>
              </a>
            )}
          </li>
        );
      })}
    </ol>
  );
}

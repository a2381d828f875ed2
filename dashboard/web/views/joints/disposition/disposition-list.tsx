import type { EntryOf } from '#core/journal/entry';
import { whenText } from '../../../parts/when-text.ts';
import { text } from '../../../text/text.ts';
import { dispositionUrl } from '../joint-routes.ts';
import type { Disposition } from './use-dispositions.ts';

interface DispositionListProps {
  readonly joint: string;
  readonly all: readonly Disposition[];
  readonly nameOf: (id: string) => string;
}

/** Every disposition with who, when, why and how its signature stands, newest first. */
export function DispositionList({ joint, all, nameOf }: DispositionListProps) {
  const t = text.value.dispositions;
  const corrected = new Set(all.map(({ entry }) => entry.corrects));
  return (
    <ol class="entry-list" reversed>
      {all.toReversed().map(({ entry, state, signed }) => {
        const decision = t.decisions[(entry as EntryOf<'disposition'>).body.decision];
        const isCorrected = corrected.has(entry.id);
        return (
          <li key={entry.id} data-corrected={isCorrected}>
            <div>
              <strong>{isCorrected ? <s>{decision}</s> : decision}</strong>{' '}
              <span class="by">
                <bdi>{t.by(nameOf(entry.author), whenText(entry.at))}</bdi>
              </span>
              {isCorrected && <span> · {t.corrected}</span>}
              <p>
                <bdi>{text.value.joints.because(entry.reason ?? '')}</bdi>
              </p>
              <p class={state === 'holds' ? 'hint' : 'message out'}>
                {t.signature[state]}
                {signed !== null && ` ${t.number(String(entry.number), signed.document.key.slice(0, 16))}`}
              </p>
            </div>
            {!isCorrected && (
              <a class="button" href={dispositionUrl(joint, entry.id)}>
                {t.correct}
                <span class="sr-only">{t.correctOf(decision, whenText(entry.at))}</span>
              </a>
            )}
          </li>
        );
      })}
    </ol>
  );
}

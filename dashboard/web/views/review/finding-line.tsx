import type { Entry } from '#core/journal/entry';
import { whenText } from '../../parts/when-text.ts';
import { text } from '../../text/text.ts';

interface FindingLineProps {
  readonly entry: Entry;
  readonly nameOf: (id: string) => string;
}

/** A finding or a note in its author's words. */
export function FindingLine({ entry: { author, at, body }, nameOf }: FindingLineProps) {
  const t = text.value.review.calls;
  if (body.kind !== 'reviewFinding' && body.kind !== 'annotation') return null;
  return (
    <p class="finding-line">
      {body.kind === 'reviewFinding' && <strong>{t.correlation[body.correlation]}: </strong>}
      <bdi>{body.text}</bdi>{' '}
      <span class="hint">
        {nameOf(author)}, {whenText(at)}
      </span>
    </p>
  );
}

import { STREAM_PACES_MS } from '#core/messages/stream-paces';
import { useApp } from '../app-context.ts';
import { format, text } from '../text/text.ts';

export const isThinned = (everyMs: number): boolean => everyMs > STREAM_PACES_MS[0];

/** Under the trust line: this screen is given live values less often than others, and what that means. */
export function ThinnedNote() {
  const { rigs } = useApp();
  const everyMs = rigs.everyMs.value;
  const shown = isThinned(everyMs) && rigs.link.value.state === 'open';
  return (
    <div role="status">
      {shown && <p class="thinned">{text.value.trust.thinnedNote(format().fixed(everyMs / 1000, 1))}</p>}
    </div>
  );
}

import { useEffect } from 'preact/hooks';
import type { Hint } from '#core/messages/api-training';
import { useApp } from '../app-context.ts';
import type { KeptMark } from '../data/training-store.ts';
import { format, text } from '../text/text.ts';
import { trainingUrl } from '../views/training/training-route.ts';
import { actionWords, channelWords, whereWords } from '../views/training/training-words.ts';

/** How long the confirmation of a mark stays, ms. */
const KEPT_SHOWN_MS = 8000;

/** Over every view while a lesson is open: that it is one, whether time stands still, and hints in practice. */
export function TrainingBanner() {
  const { training } = useApp();
  const t = text.value.training;
  const session = training.session.value;
  const kept = training.kept.value;
  useEffect(() => {
    if (kept === null) return;
    const timer = setTimeout(() => {
      training.kept.value = null;
    }, KEPT_SHOWN_MS);
    return () => clearTimeout(timer);
  }, [kept, training]);
  const isOpen = training.isOn && session !== null;
  // The trainer's desk says all of it, except what must not be missed.
  const shown = isOpen && (training.key.held.value === null || session.state === 'frozen');
  const mark = <OriginMark replay={session?.lesson.replay === true} />;
  return (
    <div class="training-banner" role="status" data-state={shown ? session.state : 'none'}>
      {shown && session.state === 'ready' && (
        <p>
          {mark} {t.banner.ready(t.mode[session.mode])}
        </p>
      )}
      {shown && kept !== null && (
        <p class="mark-kept">
          {mark} {keptWords(kept)}
        </p>
      )}
      {shown && session.state === 'running' && kept === null && (
        <p>
          {mark} {t.banner.running(t.mode[session.mode])}
        </p>
      )}
      {shown && session.state === 'frozen' && (
        <p class="training-frozen">
          {mark}{' '}
          <strong>
            <span aria-hidden="true">❚❚ </span>
            {t.banner.frozen}
          </strong>{' '}
          {t.banner.frozenNote}
        </p>
      )}
      {shown && session.state === 'ended' && session.selfRating === null && (
        <p>
          {t.banner.ended}{' '}
          <a class="button" href={trainingUrl({ view: 'trainingDebrief', id: session.id })}>
            {t.banner.rate}
          </a>
        </p>
      )}
      {shown && session.hint !== null && session.state !== 'ended' && (
        <p class="training-hint">
          <strong>{t.banner.hint}:</strong> {hintWords(session.hint)}
        </p>
      )}
    </div>
  );
}

/** Where the trust line may be out of sight. */
export function OriginMark({ replay }: { readonly replay: boolean }) {
  const { origin } = text.value;
  return <strong class="origin-mark">{replay ? origin.replay : origin.simulated}</strong>;
}

const keptWords = (kept: KeptMark): string =>
  text.value.training.mark.kept(
    format().timeOfDay(kept.atMs),
    whereWords(kept),
    channelWords(kept.channel ?? null),
    actionWords(kept.action ?? null),
  );

function hintWords({ step, rig, side, channels, actions }: Hint): string {
  const t = text.value.training.banner;
  const where = whereWords({ rig, side });
  if (step === 'side') return t.hintSide(where);
  const list = (words: readonly string[] | undefined, any: string): string =>
    words === undefined || words.length === 0 ? any : words.join(t.or);
  const what = list(channels?.map(channelWords), t.anyChannel);
  if (step === 'channel') return t.hintChannel(where, what);
  return t.hintAction(where, what, list(actions?.map(actionWords), t.anyAction));
}

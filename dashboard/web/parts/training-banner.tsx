import type { Hint } from '#core/messages/api-training';
import { useApp } from '../app-context.ts';
import { text } from '../text/text.ts';
import { trainingUrl } from '../views/training/training-route.ts';
import { actionWords, channelWords, whereWords } from '../views/training/training-words.ts';

/** Over every view while a lesson is open: that it is one, whether time stands still, and hints in practice. */
export function TrainingBanner() {
  const { training } = useApp();
  const t = text.value.training;
  const session = training.session.value;
  const shown =
    training.isOn && session !== null && (session.state !== 'ended' || session.selfRating === null);
  return (
    <div class="training-banner" role="status" data-state={shown ? session.state : 'none'}>
      {shown && session.state === 'ready' && <p>{t.banner.ready(t.mode[session.mode])}</p>}
      {shown && session.state === 'running' && <p>{t.banner.running(t.mode[session.mode])}</p>}
      {shown && session.state === 'frozen' && (
        <p class="training-frozen">
          <strong>
            <span aria-hidden="true">❚❚ </span>
            {t.banner.frozen}
          </strong>{' '}
          {t.banner.frozenNote}
        </p>
      )}
      {shown && session.state === 'ended' && (
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

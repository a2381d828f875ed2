import { useState } from 'preact/hooks';
import { useApp } from '../../app-context.ts';
import { Pick } from '../../parts/pick.tsx';
import { text } from '../../text/text.ts';
import { useStep } from './use-step.ts';

interface SelfRatingProps {
  readonly id: string;
  readonly done: () => void;
}

/** How the trainee thinks it went, before any score is shown. */
export function SelfRating({ id, done }: SelfRatingProps) {
  const { training } = useApp();
  const t = text.value.training.debrief.rate;
  const step = useStep();
  const [rating, setRating] = useState('');
  const [tried, setTried] = useState(false);

  async function send(): Promise<void> {
    setTried(true);
    if (rating === '') return;
    const body = { rating: Number(rating) };
    const isKept = await step.take(async () => {
      await training.ask(['sessions', id, 'self-rating'], { body });
    });
    // Also where another device was first: what is kept is then shown.
    done();
    if (isKept) void training.refresh();
  }

  return (
    <form
      class="form-sheet"
      noValidate
      aria-label={t.title}
      onSubmit={event => {
        event.preventDefault();
        void send();
      }}
    >
      <h2>{t.title}</h2>
      <p>{t.intro}</p>
      <Pick
        name="self-rating"
        legend={t.legend}
        options={t.grades.map((label, i) => ({ value: String(i + 1), label }))}
        value={rating}
        error={tried && rating === '' ? t.missing : null}
        pick={setRating}
      />
      <div role="alert">{step.failure !== null && <p class="message out">{t.failed(step.failure)}</p>}</div>
      <div class="form-actions">
        <button class="primary" type="submit" disabled={step.busy}>
          {t.send}
        </button>
      </div>
    </form>
  );
}

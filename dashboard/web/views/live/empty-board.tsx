import { useApp } from '../../app-context.ts';
import { format, text } from '../../text/text.ts';

/** Nothing has reported: says what to do, not just that there is nothing. */
export function EmptyBoard() {
  const { rigs } = useApp();
  const t = text.value;
  const link = rigs.link.value;
  if (link.state !== 'open' || !rigs.loaded.value) {
    const down = link.state === 'down' && link.downSinceMs !== null;
    return (
      <section class="sheet">
        <h1>{down ? t.trust.serverDown(format().timeOfDay(link.downSinceMs ?? 0)) : t.empty.connecting}</h1>
        {down && <p>{t.empty.down(format().timeOfDay(link.downSinceMs ?? 0))}</p>}
      </section>
    );
  }
  return (
    <section class="sheet">
      <h1>{t.empty.title}</h1>
      <h2>{t.empty.next}</h2>
      <ol>
        {t.empty.steps.map(step => (
          <li key={step}>{step}</li>
        ))}
      </ol>
    </section>
  );
}

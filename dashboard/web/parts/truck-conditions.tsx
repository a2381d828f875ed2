import { useApp } from '../app-context.ts';
import { said } from '../text/said.ts';
import { text } from '../text/text.ts';

/** Under the trust line of every screen: what is wrong at the truck itself, the gravest first. */
export function TruckConditions() {
  const conditions = useApp().truck.conditions.value;
  const t = text.value.truck;
  if (conditions.length === 0) return null;
  return (
    <section class="truck" aria-label={t.label} aria-live="polite">
      <ul>
        {conditions.map(({ cause, priority, text: sentence, action }) => (
          <li key={cause} data-cause={cause} data-priority={priority}>
            <span class="truck-mark" aria-hidden="true">
              {t.mark[priority]}
            </span>
            <strong>{t.priority[priority]}</strong> <span>{said(sentence)}</span>{' '}
            <span class="truck-action">{said(action)}</span>
          </li>
        ))}
      </ul>
    </section>
  );
}

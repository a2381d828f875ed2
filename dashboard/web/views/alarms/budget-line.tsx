import { useApp } from '../../app-context.ts';
import { text } from '../../text/text.ts';

/** How much was announced, against what a person can attend to: a bar with both marks, and in words. */
export function BudgetLine() {
  const picture = useApp().alarms.picture.value;
  const t = text.value.alarms;
  if (picture === null) return null;
  const { lastHour, last10Min, perHour, ceilingPerHour, state } = picture.budget;
  const full = ceilingPerHour * 1.5;
  const percent = (n: number): string => `${Math.min(100, (n / full) * 100)}%`;
  return (
    <div class="budget" data-state={state}>
      <p>
        <strong>{t.budget(lastHour, perHour)}</strong> · {t.budget10(last10Min)}
      </p>
      <div class="budget-bar" aria-hidden="true">
        <span class="budget-used" style={{ width: percent(lastHour) }} />
        <span class="budget-mark" style={{ left: percent(perHour) }} />
        <span class="budget-mark ceiling" style={{ left: percent(ceilingPerHour) }} />
      </div>
      {state !== 'within' && (
        <p class="budget-word">
          <span aria-hidden="true">▲</span> {t.budgetState[state]}
        </p>
      )}
    </div>
  );
}

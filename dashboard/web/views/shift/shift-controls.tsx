import type { Shift } from '#core/messages/api-shift';
import { daysLater } from '#core/shift/shift-day';
import { manner, text } from '../../text/text.ts';
import { tableStyle } from '../joints/export-links.ts';
import { type ShiftRoute, shiftQuery, shiftUrl } from './shift-route.ts';

interface ShiftControlsProps {
  readonly shift: Shift;
  readonly route: ShiftRoute;
  readonly again: () => void;
}

/** Which shift is shown, and the ways to take it along. Never printed. */
export function ShiftControls({ shift, route, again }: ShiftControlsProps) {
  const t = text.value.shift;
  const { date, sites, origins } = shift;
  const go = (part: Partial<ShiftRoute>): void => {
    window.location.hash = shiftUrl({ ...route, ...part });
  };
  const asked = new URLSearchParams(shiftQuery({ ...route, date, origin: shift.origin }));
  const inStyle = new URLSearchParams({ ...Object.fromEntries(asked), ...tableStyle(manner.value) });
  return (
    <div class="shift-controls">
      <fieldset>
        <legend class="sr-only">{t.controls}</legend>
        <a class="button" href={shiftUrl({ ...route, date: daysLater(date, -1) })}>
          {t.earlier}
        </a>
        <label>
          <span>{t.date}</span>
          <input
            type="date"
            value={date}
            onChange={event => {
              const typed = event.currentTarget.value;
              if (typed !== '' && typed !== date) go({ date: typed });
            }}
          />
        </label>
        <a class="button" href={shiftUrl({ ...route, date: daysLater(date, 1) })}>
          {t.later}
        </a>
        <a class="button" href={shiftUrl({ ...route, date: null })}>
          {t.now}
        </a>
        {sites.length > 1 && (
          <label>
            <span>{t.site}</span>
            <select
              value={route.site ?? ''}
              onChange={event => go({ site: event.currentTarget.value || null })}
            >
              <option value="">{t.everySite}</option>
              {sites.map(site => (
                <option key={site} value={site}>
                  {site}
                </option>
              ))}
            </select>
          </label>
        )}
        {origins.length > 1 &&
          origins.map(origin => (
            <a
              key={origin}
              class="button"
              href={shiftUrl({ ...route, date, origin })}
              {...(origin === shift.origin ? { 'aria-current': 'true' as const } : {})}
            >
              {text.value.origin[origin]}
            </a>
          ))}
      </fieldset>
      <p class="form-actions">
        <button type="button" class="primary" onClick={() => window.print()}>
          {t.print}
        </button>
        <button type="button" onClick={again}>
          {t.again}
        </button>
        <a class="button" href={`/api/v1/shift.csv?${inStyle}`} download>
          {t.csvRigs}
        </a>
        <a class="button" href={`/api/v1/shift.csv?${inStyle}&table=joints`} download>
          {t.csvJoints}
        </a>
        <a class="button" href={`/api/v1/shift?${asked}`} download={`shift-${date}.json`}>
          {t.json}
        </a>
      </p>
    </div>
  );
}

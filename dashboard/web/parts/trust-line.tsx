import { useEffect } from 'preact/hooks';
import { useApp } from '../app-context.ts';
import { format, text } from '../text/text.ts';
import { trustSummary } from './trust-summary.ts';

/** Always on top: where the data comes from, and how far it can be trusted. */
export function TrustLine() {
  const { rigs } = useApp();
  const t = text.value;
  const views = rigs.entries.value.map(entry => entry.view.value);
  const summary = trustSummary(t, format(), views, rigs.link.value, rigs.thinned.value);
  const now = rigs.nowMs.value;
  useEffect(() => {
    const mark =
      summary.originKind === 'real' || summary.originKind === 'unknown' ? '' : `${summary.origin} – `;
    document.title = `${mark}${t.product}`;
  }, [summary.origin, summary.originKind, t]);
  return (
    <header class="trust" data-origin={summary.originKind} aria-label={t.trust.label}>
      <p class="origin">{summary.origin}</p>
      <dl class="trust-fields">
        {summary.fields.map(field => (
          <div key={field.key} class={field.bad ? 'trust-field bad' : 'trust-field'} data-field={field.key}>
            <dt>{field.label}</dt>
            <dd>{field.value}</dd>
          </div>
        ))}
        <div class="trust-field now" data-field="time">
          <dt>{t.trust.time}</dt>
          <dd>
            {format().timeOfDay(now)} <span class="zone">{format().zoneShort(now)}</span>
          </dd>
        </div>
      </dl>
    </header>
  );
}

import { useEffect } from 'preact/hooks';
import { useApp } from '../app-context.ts';
import { format, text } from '../text/text.ts';
import { isThinned } from './thinned-note.tsx';
import { trustSummary } from './trust-summary.ts';

/** Always on top: where the data comes from, and how far it can be trusted. */
export function TrustLine() {
  const { rigs, procedures, session } = useApp();
  const isOut = session.isOut.value;
  const t = text.value;
  const views = rigs.entries.value.map(entry => entry.view.value);
  const summary = trustSummary(t, format(), views, rigs.link.value, isThinned(rigs.everyMs.value));
  const example = views.some(
    ({ work }) =>
      work !== null && procedures.find(work.procedureId, work.procedureRevision)?.exampleOnly === true,
  );
  const now = rigs.nowMs.value;
  useEffect(() => {
    const mark =
      summary.originKind === 'real' || summary.originKind === 'unknown' ? '' : `${summary.origin} – `;
    document.title = `${mark}${t.product}`;
  }, [summary.origin, summary.originKind, t]);
  return (
    <header class="trust" data-origin={summary.originKind}>
      <h2 class="sr-only">{t.trust.label}</h2>
      <p class="origin">{summary.origin}</p>
      {example && <p class="example-only">{t.exampleOnly}</p>}
      <dl class="trust-fields">
        {summary.fields.map(field => (
          <div key={field.key} class="trust-field" data-level={field.level} data-field={field.key}>
            <dt>{field.label}</dt>
            <dd>{field.key === 'server' && isOut ? t.accounts.signedOut : field.value}</dd>
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

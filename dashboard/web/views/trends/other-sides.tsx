import { useApp } from '../../app-context.ts';
import { statusWord } from '../../parts/status-word.ts';
import { routeUrl } from '../../routes.ts';
import { text } from '../../text/text.ts';

/** Every side in its fixed place, so that watching one does not hide what happens to the others. */
export function OtherSides({ current, spanS }: { readonly current: string; readonly spanS: number }) {
  const { rigs } = useApp();
  const t = text.value;
  return (
    <ul class="others" aria-label={t.trends.others}>
      {rigs.entries.value.map(entry => {
        const view = entry.view.value;
        const out = view.outOfRange.length > 0;
        const drifts = view.drifting.length > 0;
        const state = view.feed.cause !== null ? 'nodata' : out ? 'out' : drifts ? 'drift' : 'normal';
        return (
          <li key={entry.key}>
            <a
              class="chip"
              data-state={state}
              aria-current={entry.key === current ? 'page' : undefined}
              href={routeUrl({ view: 'trends', site: view.site, rig: view.rig, spanS })}
            >
              <span>
                {view.rig} {view.work?.side ?? ''}
              </span>
              <small>
                {out
                  ? `◆ ${t.outOfRange}`
                  : drifts
                    ? `◢ ${t.alarms.drifting.word}`
                    : statusWord(t, view.feed).replace(/ \d.*$/, '')}
              </small>
            </a>
          </li>
        );
      })}
    </ul>
  );
}

import { useEffect } from 'preact/hooks';
import { useApp } from '../../app-context.ts';
import type { SideView } from '../../data/side-view.ts';
import { whenText } from '../../parts/when-text.ts';
import { format, text } from '../../text/text.ts';
import { usePeople } from '../verify/use-people.ts';
import { readyRigs } from './ready-rigs.ts';
import { RigReady } from './rig-ready.tsx';

/** The start of the shift on one page: every rig, what it lacks, and the one action that mends it. */
export function ReadyView() {
  const { readiness, rigs } = useApp();
  const t = text.value;
  const r = t.ready;
  const people = usePeople();
  const nowMs = rigs.nowMs.value;
  const link = rigs.link.value;
  useEffect(() => void readiness.refresh(), [readiness]);

  const views = rigs.entries.value.map(entry => entry.view.value);
  const all = readyRigs(views, readiness.all.value, nowMs);
  const not = all.filter(one => one.now === null || !one.now.ready).length;
  const viewOf = (key: string): SideView | null => views.find(view => view.key === key) ?? null;
  const failure = readiness.failure.value;
  const known = readiness.loaded.value;
  return (
    <section class="sheet ready">
      <p class="form-actions">
        <button type="button" onClick={() => window.print()}>
          {r.print}
        </button>
      </p>
      <h1>{r.title}</h1>
      {link.state === 'down' && link.downSinceMs !== null && (
        <p class="message nodata">{r.stale(format().timeOfDay(link.downSinceMs))}</p>
      )}
      {failure !== null && link.state !== 'down' && (
        <p class="message out" role="alert">
          {r.failed(failure === '' ? t.work.noServer : failure)}
        </p>
      )}
      {!known && failure === null && <p>{r.loading}</p>}
      {known && all.length === 0 && <p>{r.noRigs}</p>}
      {all.length > 0 && (known || failure !== null) && (
        <>
          <p class="ready-sum" role="status">
            {not === 0 ? r.allReady(all.length) : r.someNot(not, all.length)}
          </p>
          <p>{r.notLocked}</p>
          <p>{r.notAcceptance}</p>
          <p class="hint">{r.asOf(whenText(nowMs), format().zone)}</p>
          <div class="ready-rigs">
            {all.map(one => (
              <RigReady key={one.key} rig={one} view={viewOf(one.key)} nameOf={people.nameOf} />
            ))}
          </div>
          <p class="print-only sign">{r.signature}</p>
        </>
      )}
    </section>
  );
}

import { useApp } from '../../app-context.ts';
import { text } from '../../text/text.ts';
import { TypedField } from '../verify/fields.tsx';
import { ExportDay } from './export-day.tsx';
import { FilterFields } from './filter-fields.tsx';
import { FILTER_KEYS, type JointFilter } from './joint-filter.ts';
import { jointRouteUrl } from './joint-routes.ts';
import { JointRow } from './joint-row.tsx';
import { UnassignedPasses } from './unassigned-passes.tsx';
import { useJointList } from './use-joint-list.ts';

/** Every joint, newest work first, found by typing and by filters. What is asked for stands in the address. */
export function JointsView({ find }: { readonly find: string }) {
  const { route, replace } = useApp();
  const t = text.value;
  const j = t.joints;
  const now = route.value;
  const filter = (now.view === 'joints' ? now.filter : undefined) ?? {};
  const unknown = (now.view === 'joints' ? now.unknown : undefined) ?? [];
  const { joints, loaded, failure, unread, more } = useJointList(find, filter);
  // Replaced, not added: going back leaves the list, not one letter.
  const ask = (typed: string, asked: JointFilter): void =>
    replace({ view: 'joints', find: typed, filter: asked });
  const isNarrowed = FILTER_KEYS.some(key => filter[key] !== undefined);
  const typed = find.trim();
  return (
    <section class="sheet form-sheet joints-list">
      <p class="form-actions no-gap">
        <a class="button" href="#/">
          {t.back}
        </a>
        <a class="button primary" href={jointRouteUrl({ view: 'openJoint', joint: '' })}>
          {j.openNew}
        </a>
      </p>
      <h1>{j.listTitle}</h1>
      <TypedField
        id="find"
        label={j.find}
        hint={j.findHint}
        value={find}
        kind="text"
        max={80}
        error={null}
        type={words => ask(words, filter)}
      />
      {unknown.length > 0 && (
        <p class="message nodata" role="alert">
          {j.unknownInAddress(unknown.join(', '))}
        </p>
      )}
      <FilterFields filter={filter} change={asked => ask(find, asked)} />
      {failure !== null && (
        <p class="message nodata" role="alert">
          {j.listFailed(failure === '' ? t.jointEntries.noServer : failure)}
        </p>
      )}
      {!loaded && failure === null && <p>{j.loading}</p>}
      {unread > 0 && (
        <p class="message" role="status">
          {j.unread(unread)}
        </p>
      )}
      {loaded && joints.length === 0 && unread === 0 && (
        <p>{isNarrowed ? j.noneLikeThis : typed === '' ? j.none : j.noneFound(find)}</p>
      )}
      {loaded && joints.length === 0 && typed !== '' && !isNarrowed && (
        <p>
          <a class="button" href={jointRouteUrl({ view: 'openJoint', joint: find })}>
            {j.openThis(find)}
          </a>
        </p>
      )}
      {joints.length > 0 && (
        <ul class="joint-rows">
          {joints.map(summary => (
            <JointRow key={summary.joint} summary={summary} />
          ))}
        </ul>
      )}
      {more !== null && (
        <p>
          <button type="button" onClick={more}>
            {j.more}
          </button>
        </p>
      )}
      <ExportDay />
      <UnassignedPasses joint="" />
    </section>
  );
}

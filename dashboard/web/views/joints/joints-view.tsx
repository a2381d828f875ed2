import { useState } from 'preact/hooks';
import { text } from '../../text/text.ts';
import { TypedField } from '../verify/fields.tsx';
import { ExportDay } from './export-day.tsx';
import { findJoints } from './joint-list.ts';
import { jointRouteUrl } from './joint-routes.ts';
import { JointRow } from './joint-row.tsx';
import { UnassignedPasses } from './unassigned-passes.tsx';
import { useJointList } from './use-joint-list.ts';

/** Rows shown at first, and how many more each time. */
const ROWS = 12;

/** Every joint, newest work first, found by typing. What is typed stands in the address. */
export function JointsView({ find }: { readonly find: string }) {
  const t = text.value;
  const j = t.joints;
  const read = useJointList(find);
  const [rows, setRows] = useState(ROWS);
  const found = findJoints(read.joints, find);
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
        type={typed => {
          // Replaced, not added: going back leaves the list, not one letter.
          window.history.replaceState(null, '', jointRouteUrl({ view: 'joints', find: typed }));
          window.dispatchEvent(new HashChangeEvent('hashchange'));
        }}
      />
      {read.failure !== null && (
        <p class="message nodata" role="alert">
          {j.listFailed(read.failure === '' ? t.jointEntries.noServer : read.failure)}
        </p>
      )}
      {!read.loaded && read.failure === null && <p>{j.loading}</p>}
      {read.loaded && read.joints.length === 0 && find.trim() === '' && <p>{j.none}</p>}
      {read.loaded && found.length === 0 && find.trim() !== '' && (
        <>
          <p>{j.noneFound(find)}</p>
          <p>
            <a class="button" href={jointRouteUrl({ view: 'openJoint', joint: find })}>
              {j.openThis(find)}
            </a>
          </p>
        </>
      )}
      {found.length > 0 && (
        <ul class="joint-rows">
          {found.slice(0, rows).map(listed => (
            <JointRow key={listed.summary.joint} listed={listed} />
          ))}
        </ul>
      )}
      {found.length > rows && (
        <p>
          <button type="button" onClick={() => setRows(rows + ROWS)}>
            {j.more}
          </button>
        </p>
      )}
      <ExportDay />
      <UnassignedPasses joint="" />
    </section>
  );
}

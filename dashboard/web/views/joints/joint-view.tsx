import { format, text } from '../../text/text.ts';
import { reviewUrl, wholeReview } from '../review/review-route.ts';
import { usePeople } from '../verify/use-people.ts';
import { DispositionSection } from './disposition/disposition-section.tsx';
import { JointCheck } from './disposition/record-check.tsx';
import { EntryHistory } from './entry-history.tsx';
import { ExportPanel } from './export-panel.tsx';
import { HoldBanner, JointFacts } from './joint-facts.tsx';
import { JointFindings } from './joint-findings.tsx';
import { jointRouteUrl } from './joint-routes.ts';
import { MovedAway, PassLayers, Unplaced } from './pass-layers.tsx';
import { jointWork } from './pass-work.ts';
import { UnassignedPasses } from './unassigned-passes.tsx';
import { useFormContext } from './use-form-context.ts';
import { useJoint } from './use-joint.ts';

const NO_START = {};

/** One joint before the arc: what is missing, its passes, its particulars, and everything entered about it. */
export function JointView({ joint }: { readonly joint: string }) {
  const t = text.value;
  const j = t.joints;
  const people = usePeople();
  const read = useJoint(joint);
  const { state } = read;
  const origin = state?.origin ?? null;
  const context = useFormContext({ joint, state, people, start: NO_START });
  const work =
    state === null
      ? null
      : jointWork(state, context.procedure?.passes.map(({ name }) => name) ?? [], read.passes);
  const opened = state?.opened === true;
  return (
    <section class="joint-page">
      <p class="form-actions no-gap">
        <a class="button" href={jointRouteUrl({ view: 'joints', find: '' })}>
          {j.allJoints}
        </a>
        <a class="button" href="#/">
          {t.back}
        </a>
        {read.passes.length > 0 && (
          <a class="button primary" href={reviewUrl(wholeReview(joint))}>
            {t.review.open}
          </a>
        )}
      </p>
      <h1>
        <bdi>{j.title(joint)}</bdi>
        {origin !== null && origin !== 'real' && <strong class="origin-mark">{t.origin[origin]}</strong>}
      </h1>
      {read.failure !== null && (
        <p class="message nodata" role="alert">
          {read.failure === '' ? j.unreachable : `${j.notRead}${read.failure}`}
        </p>
      )}
      {!read.loaded && read.failure === null && <p>{j.loading}</p>}
      {read.loaded && state === null && <p>{j.unknown}</p>}
      {state !== null && <HoldBanner state={state} nameOf={people.nameOf} />}
      {read.loaded && !opened && (
        <p class="form-actions">
          <a class="button primary" href={jointRouteUrl({ view: 'openJoint', joint })}>
            {j.open}
          </a>
        </p>
      )}
      {state !== null && work !== null && (
        <>
          <p class="joint-sum">
            {work.wanted > 0 && j.passesDone(String(work.done), String(work.wanted))}
            {work.wanted > 0 && ' · '}
            {state.nextPass === null
              ? work.wanted > 0 && work.done === work.wanted
                ? j.allDone
                : ''
              : j.next(state.nextPass)}
          </p>
          <p class="hint">{j.notAcceptance}</p>
          <div class="joint-columns">
            <div>
              <section>
                <h2>{j.missingTitle}</h2>
                {state.findings.length === 0 ? (
                  <p>{j.nothingMissing}</p>
                ) : (
                  <JointFindings findings={state.findings} joint={joint} />
                )}
              </section>
              <section>
                <h2>{j.passesTitle}</h2>
                {work.layers.length === 0 ? (
                  <p>{j.noPasses}</p>
                ) : (
                  <PassLayers
                    joint={joint}
                    origin={state.origin}
                    layers={work.layers}
                    nameOf={people.nameOf}
                  />
                )}
              </section>
              <MovedAway movedAway={work.movedAway} joint={joint} nameOf={people.nameOf} />
              <Unplaced passes={work.unplaced} joint={joint} />
              <UnassignedPasses joint={joint} />
            </div>
            <div>
              <JointFacts context={context} state={state} />
            </div>
          </div>
          <DispositionSection state={state} nameOf={people.nameOf} />
          <JointCheck joint={joint} />
          <ExportPanel joint={joint} origin={state.origin} />
          <section>
            <h2>{j.historyTitle}</h2>
            <p class="hint">
              {j.historyNote} {j.zone(format().zone)}
            </p>
            <EntryHistory joint={joint} entries={state.entries} nameOf={people.nameOf} />
          </section>
        </>
      )}
    </section>
  );
}

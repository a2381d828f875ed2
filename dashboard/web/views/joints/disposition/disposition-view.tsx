import { text } from '../../../text/text.ts';
import { usePeople } from '../../verify/use-people.ts';
import { jointUrl } from '../joint-routes.ts';
import { useJoint } from '../use-joint.ts';
import { DispositionForm } from './disposition-form.tsx';
import { DispositionList } from './disposition-list.tsx';
import { JointDeviations } from './joint-deviations.tsx';
import { useDispositions } from './use-dispositions.ts';

interface DispositionViewProps {
  readonly joint: string;
  readonly corrects: string | null;
}

/** Where a person rules about a joint, with what is on record beside it. */
export function DispositionView({ joint, corrects }: DispositionViewProps) {
  const t = text.value.dispositions;
  const j = text.value.joints;
  const read = useJoint(joint);
  const people = usePeople();
  const { all } = useDispositions(joint);
  return (
    <section class="sheet form-sheet joint-sheet disposition">
      <p>
        <a class="button" href={jointUrl(joint)}>
          {j.goTo(joint)}
        </a>
      </p>
      <h1>
        <bdi>{corrects === null ? t.pageTitle(joint) : t.pageTitleCorrect(joint)}</bdi>
      </h1>
      {!read.loaded && read.failure === null && <p>{j.loading}</p>}
      {read.failure !== null && (
        <p class="message nodata" role="alert">
          {read.failure === '' ? j.unreachable : `${j.notRead}${read.failure}`}
        </p>
      )}
      {read.loaded && read.state === null && <p>{j.unknown}</p>}
      {read.state !== null && (
        <>
          <JointDeviations passes={read.passes} />
          {all !== null && all.length > 0 && (
            <section>
              <h2>{t.listTitle}</h2>
              <DispositionList joint={joint} all={all} nameOf={people.nameOf} />
            </section>
          )}
          <DispositionForm joint={joint} corrects={corrects} />
        </>
      )}
    </section>
  );
}

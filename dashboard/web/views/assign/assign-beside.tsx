import { text } from '../../text/text.ts';
import { jointUrl } from '../joints/joint-routes.ts';
import { assignNotes, type Chosen } from './assign-notes.ts';
import { useJointState } from './use-joint-state.ts';

interface AssignBesideProps {
  readonly joint: string;
  readonly chosen: Chosen;
}

/** Beside the form: what is known of the joint that speaks against this choice. Nothing where nothing does. */
export function AssignBeside({ joint, chosen }: AssignBesideProps) {
  const t = text.value.joints;
  const state = useJointState(joint);
  const notes = state === null ? [] : assignNotes(state, chosen);
  return (
    <div class="beside" role="status">
      {notes.length > 0 && (
        <>
          <h2>{t.assignNotes.title}</h2>
          <ul class="beside-notes">
            {notes.map(note => (
              <li key={note}>
                <bdi>{note}</bdi>
              </li>
            ))}
          </ul>
          <p>
            <a class="button" href={jointUrl(joint)}>
              {t.goTo(joint)}
            </a>
          </p>
        </>
      )}
    </div>
  );
}

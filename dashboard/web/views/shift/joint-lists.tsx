import { text } from '../../text/text.ts';
import { jointUrl } from '../joints/joint-routes.ts';
import { AndMore, beyond } from './and-more.tsx';
import type { JointGroups, SaidJoint } from './joint-groups.ts';
import type { Printed } from './print-cut.ts';

/** Incomplete ones first, each with what it lacks: they are what the next shift needs to know. */
export function JointLists({ groups, printed }: { readonly groups: JointGroups; readonly printed: Printed }) {
  const t = text.value.shift;
  const { incomplete, unknown, complete } = groups;
  if (incomplete.length + unknown.length + complete.length === 0) return <p>{t.noJoints}</p>;
  return (
    <>
      <JointList
        title={t.incompleteTitle(incomplete.length)}
        joints={incomplete}
        printed={printed.incomplete}
        look="shift-words"
      />
      <JointList
        title={t.unknownTitle(unknown.length)}
        joints={unknown}
        printed={printed.unknown}
        look="shift-words"
      />
      <JointList
        title={t.completeTitle(complete.length)}
        joints={complete}
        printed={printed.complete}
        look="shift-numbers"
      />
    </>
  );
}

interface JointListProps {
  readonly title: string;
  readonly joints: readonly SaidJoint[];
  readonly printed: number;
  readonly look: 'shift-words' | 'shift-numbers';
}

function JointList({ title, joints, printed, look }: JointListProps) {
  if (joints.length === 0) return null;
  return (
    <section class="shift-joints">
      <h3>{title}</h3>
      <ul class={look}>
        {joints.map(({ joint, onHold, words }, i) => (
          <li key={joint} class={beyond(i, printed)}>
            <a href={jointUrl(joint)}>{joint}</a>
            {onHold && <strong> {text.value.shift.onHold}</strong>}
            {words !== null && (
              <>
                {' '}
                <bdi>{words}</bdi>
              </>
            )}
          </li>
        ))}
        <AndMore all={joints.length} printed={printed} as="li" />
      </ul>
    </section>
  );
}

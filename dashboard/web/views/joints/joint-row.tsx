import { useEffect, useState } from 'preact/hooks';
import type { JointState } from '#core/messages/api-journal';
import { useApp } from '../../app-context.ts';
import { HoldMark } from '../../parts/hold-mark.tsx';
import { whenText } from '../../parts/when-text.ts';
import { text } from '../../text/text.ts';
import type { ListedJoint } from './joint-list.ts';
import { jointUrl } from './joint-routes.ts';

/** The state of one row, asked for when it is shown. `failed` where it could not be read. */
function useRowState(joint: string): JointState | 'failed' | null {
  const { api, changes } = useApp();
  const [state, setState] = useState<JointState | 'failed' | null>(null);
  const version = changes.joints.value;
  useEffect(() => {
    let left = false;
    api.get<JointState>(['joints', joint, 'state']).then(
      now => {
        if (!left) setState(now);
      },
      () => {
        if (!left) setState(known => known ?? 'failed');
      },
    );
    return () => {
      left = true;
    };
  }, [api, joint, version]);
  return state;
}

const isDone = ({ state }: JointState['passes'][number]): boolean =>
  state === 'closed' || state === 'loggedElsewhere';

/** One joint of the list: where it stands, and what is missing, in words. */
export function JointRow({ listed: { joint, recorded, openedAt } }: { readonly listed: ListedJoint }) {
  const t = text.value;
  const j = t.joints;
  const state = useRowState(joint);
  const known = state === 'failed' ? null : state;
  const [first] = known?.findings ?? [];
  const passes = known?.passes ?? [];
  const facts = [
    passes.length > 0
      ? j.passesDone(String(passes.filter(isDone).length), String(passes.length))
      : recorded !== null && j.passesSeen(recorded.passes),
    known?.nextPass != null && j.next(known.nextPass),
    passes.length > 0 && passes.every(isDone) && j.allDone,
    recorded !== null && (recorded.deviations === 0 ? j.noDeviation : j.deviations(recorded.deviations)),
    known !== null && !known.opened && j.notOpened,
    recorded !== null
      ? j.last(whenText(recorded.lastUtc))
      : openedAt !== null && j.openedAt(whenText(openedAt)),
  ].filter(fact => typeof fact === 'string');
  return (
    <li class="joint-row">
      <a href={jointUrl(joint)}>
        <bdi class="joint-number">{joint}</bdi>
      </a>{' '}
      <HoldMark joint={joint} />
      {recorded !== null && recorded.origin !== 'real' && (
        <strong class="origin-mark">{t.origin[recorded.origin]}</strong>
      )}
      <p>{facts.join(' · ')}</p>
      {known !== null && first !== undefined && (
        <p class="row-missing">
          <strong>{j.missingThings(known.findings.length)}:</strong> <bdi>{first.text}</bdi>{' '}
          {known.findings.length > 1 && j.andMore(known.findings.length - 1)}
        </p>
      )}
      {state === 'failed' && <p class="hint">{j.stateFailed}</p>}
    </li>
  );
}

import { useEffect, useState } from 'preact/hooks';
import type { JointState } from '#core/messages/api-journal';
import { useApp } from '../../app-context.ts';
import { whenText } from '../../parts/when-text.ts';
import { text } from '../../text/text.ts';
import type { ListedJoint } from './joint-list.ts';
import { jointUrl } from './joint-routes.ts';
import { isDone } from './pass-work.ts';

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

/** One joint of the list: where it stands, and what is missing, in words. */
export function JointRow({ listed: { summary, deviations } }: { readonly listed: ListedJoint }) {
  const t = text.value;
  const j = t.joints;
  const { joint } = summary;
  const state = useRowState(joint);
  const known = state === 'failed' ? null : state;
  const [first] = known?.findings ?? [];
  const passes = known?.passes ?? [];
  const facts = [
    passes.length > 0
      ? j.passesDone(String(passes.filter(isDone).length), String(passes.length))
      : summary.passes > 0 && j.passesSeen(summary.passes),
    known?.nextPass != null && j.next(known.nextPass),
    known?.complete === true && j.allDone,
    deviations !== null && (deviations === 0 ? j.noDeviation : j.deviations(deviations)),
    !summary.opened && j.notOpened,
    summary.station,
    summary.lastUtc !== null && j.last(whenText(summary.lastUtc)),
  ].filter(fact => typeof fact === 'string');
  return (
    <li class="joint-row">
      <a href={jointUrl(joint)}>
        <bdi class="joint-number">{joint}</bdi>
      </a>{' '}
      {summary.onHold && <strong class="hold-mark">{j.onHold}</strong>}{' '}
      {summary.origin !== 'real' && <strong class="origin-mark">{t.origin[summary.origin]}</strong>}
      <p>
        <bdi>{facts.join(' · ')}</bdi>
      </p>
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

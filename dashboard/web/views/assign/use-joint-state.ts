import { useEffect, useState } from 'preact/hooks';
import type { JointState } from '#core/messages/api-journal';
import { useApp } from '../../app-context.ts';

/** A typed number is looked up when typing rests, ms. */
const REST_MS = 300;

/** What the server knows of a joint; null while it is not known. */
export function useJointState(joint: string): JointState | null {
  const { api, changes } = useApp();
  const [known, setKnown] = useState<JointState | null>(null);
  const version = changes.joints.value;
  useEffect(() => {
    if (joint === '') return;
    let left = false;
    const timer = setTimeout(() => {
      api.get<JointState>(['joints', joint, 'state']).then(
        state => {
          if (!left) setKnown(state);
        },
        () => {
          if (!left) setKnown(null);
        },
      );
    }, REST_MS);
    return () => {
      left = true;
      clearTimeout(timer);
    };
  }, [api, joint, version]);
  return known?.joint === joint ? known : null;
}

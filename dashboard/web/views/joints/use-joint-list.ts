import { useEffect, useState } from 'preact/hooks';
import type { JointSummary } from '#core/messages/api-journal';
import type { JointList } from '#core/messages/api-lists';
import { useApp } from '../../app-context.ts';
import { type ListedJoint, listJoints } from './joint-list.ts';

/** As many as the server gives at once; more than a day of a spread. Older ones are found by typing. */
const LIMIT = '200';
/** What is typed is asked for when typing rests, ms. */
const REST_MS = 300;

export interface JointsRead {
  readonly joints: readonly ListedJoint[];
  readonly loaded: boolean;
  readonly failure: string | null;
}

/** The newest joints with what is typed in their number; read again whenever something was entered or recorded. */
export function useJointList(find: string): JointsRead {
  const { api, changes } = useApp();
  const [read, setRead] = useState<JointsRead>({ joints: [], loaded: false, failure: null });
  const version = changes.joints.value;
  useEffect(() => {
    let left = false;
    const ask = async (): Promise<void> => {
      const typed = find.trim();
      try {
        const [{ joints }, recorded] = await Promise.all([
          api.get<{ joints: JointSummary[] }>(['joint-list'], {
            limit: LIMIT,
            ...(typed === '' ? {} : { find: typed }),
          }),
          api.get<JointList>(['joints'], { limit: LIMIT }),
        ]);
        if (!left) setRead({ joints: listJoints(joints, recorded.joints), loaded: true, failure: null });
      } catch (error) {
        const failure = error instanceof Error ? error.message : '';
        if (!left) setRead(known => ({ ...known, failure }));
      }
    };
    const timer = setTimeout(() => void ask(), find === '' ? 0 : REST_MS);
    return () => {
      left = true;
      clearTimeout(timer);
    };
  }, [api, find, version]);
  return read;
}

import { useEffect, useState } from 'preact/hooks';
import type { JointState } from '#core/messages/api-journal';
import type { PassMessage } from '#core/messages/pass';
import { useApp } from '../../app-context.ts';
import { type ApiClient, ApiError } from '../../data/api-client.ts';

export interface JointRead {
  /** Null where the server knows nothing of it. */
  readonly state: JointState | null;
  /** Recorded under this joint, and moved to it. */
  readonly passes: readonly PassMessage[];
  readonly loaded: boolean;
  /** Why the last reading failed; empty where nobody answered. */
  readonly failure: string | null;
}

/** More passes than any joint has. */
const MOST = '200';

interface PassPage {
  readonly passes: readonly PassMessage[];
}

const NOTHING: JointRead = { state: null, passes: [], loaded: false, failure: null };

/** Null where the server says there is none. */
async function orNone<T>(asked: Promise<T>): Promise<T | null> {
  try {
    return await asked;
  } catch (error) {
    if (error instanceof ApiError && error.problem?.status === 404) return null;
    throw error;
  }
}

/** The state of a joint, and every pass that was recorded under it or moved to it. */
export async function readJoint(api: ApiClient, joint: string): Promise<JointRead> {
  const [state, recorded] = await Promise.all([
    orNone(api.get<JointState>(['joints', joint, 'state'])),
    api.get<PassPage>(['passes'], { joint, limit: MOST }),
  ]);
  // One joint page holds one origin only: a number may be welded in the field and in training.
  const passes = recorded.passes.filter(({ origin }) => state === null || origin === state.origin);
  const known = new Set(passes.map(({ passId }) => passId));
  const wanted = (state?.passes ?? []).flatMap(({ passIds }) => passIds).filter(id => !known.has(id));
  const others = await Promise.all(
    [...new Set(wanted)].map(passId => orNone(api.get<PassMessage>(['passes', passId]))),
  );
  return { state, passes: [...passes, ...others.filter(one => one !== null)], loaded: true, failure: null };
}

/** Follows one joint: read again whenever something was entered or recorded. What was read last stays when that fails. */
export function useJoint(joint: string): JointRead {
  const { api, changes } = useApp();
  const [read, setRead] = useState<JointRead>(NOTHING);
  const version = changes.joints.value;
  useEffect(() => {
    let left = false;
    readJoint(api, joint).then(
      now => {
        if (!left) setRead(now);
      },
      (error: unknown) => {
        const failure = error instanceof Error ? error.message : '';
        if (!left) setRead(known => ({ ...known, failure }));
      },
    );
    return () => {
      left = true;
    };
  }, [api, joint, version]);
  return read;
}

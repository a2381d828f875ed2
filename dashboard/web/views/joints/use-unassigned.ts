import { useEffect, useState } from 'preact/hooks';
import type { PassMessage } from '#core/messages/pass';
import { useApp } from '../../app-context.ts';

/** Recorded passes that count for no joint yet, newest first. */
export function useUnassigned(): readonly PassMessage[] {
  const { api, changes } = useApp();
  const [found, setFound] = useState<readonly PassMessage[]>([]);
  const version = changes.joints.value;
  useEffect(() => {
    let left = false;
    api.get<{ passes: PassMessage[] }>(['unassigned-passes']).then(
      ({ passes }) => {
        if (!left) setFound(passes);
      },
      () => undefined,
    );
    return () => {
      left = true;
    };
  }, [api, version]);
  return found;
}

import { useEffect, useState } from 'preact/hooks';
import type { PassMessage } from '#core/messages/pass';
import { useApp } from '../../app-context.ts';
import { movesByPass } from './pass-work.ts';

/** Passes looked through for those without a joint: about a day of a spread. */
const LOOKED_THROUGH = '200';

/** Recorded passes without a joint, to which no entry has given one yet; newest first. */
export function useUnassigned(): readonly PassMessage[] {
  const { api, changes } = useApp();
  const [found, setFound] = useState<readonly PassMessage[]>([]);
  const version = changes.joints.value;
  useEffect(() => {
    let left = false;
    const asked = Promise.all([
      api.get<{ passes: PassMessage[] }>(['passes'], { limit: LOOKED_THROUGH }),
      api.entries({ kind: 'passMoved', limit: '200' }),
    ]);
    asked.then(
      ([{ passes }, { entries }]) => {
        const moves = movesByPass(entries);
        if (!left) setFound(passes.filter(({ joint, passId }) => joint === null && !moves.has(passId)));
      },
      () => undefined,
    );
    return () => {
      left = true;
    };
  }, [api, version]);
  return found;
}

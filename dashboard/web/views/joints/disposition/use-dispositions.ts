import { useEffect, useState } from 'preact/hooks';
import type { DispositionList } from '#core/messages/api-disposition';
import { useApp } from '../../../app-context.ts';

export type Disposition = DispositionList['dispositions'][number];

/** Every disposition of a joint in the order entered, read again when anything was entered; null until they are read. */
export function useDispositions(joint: string): {
  readonly all: readonly Disposition[] | null;
  readonly failed: boolean;
} {
  const { api, changes } = useApp();
  const [all, setAll] = useState<readonly Disposition[] | null>(null);
  const [failed, setFailed] = useState(false);
  const version = changes.joints.value;
  useEffect(() => {
    let left = false;
    api.get<DispositionList>(['joints', joint, 'dispositions']).then(
      ({ dispositions }) => {
        if (left) return;
        setAll(dispositions);
        setFailed(false);
      },
      () => {
        if (!left) setFailed(true);
      },
    );
    return () => {
      left = true;
    };
  }, [api, joint, version]);
  return { all, failed };
}

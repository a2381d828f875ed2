import { useState } from 'preact/hooks';
import { sentenceOf } from '../changes/use-read.ts';

export interface Step {
  readonly busy: boolean;
  /** The sentence of the last refusal; null where it was done. */
  readonly failure: string | null;
  /** Does it once; true when it was done. */
  readonly take: (work: () => Promise<void>) => Promise<boolean>;
}

/** One request at a time, and why the last one was refused. */
export function useStep(): Step {
  const [busy, setBusy] = useState(false);
  const [failure, setFailure] = useState<string | null>(null);
  return {
    busy,
    failure,
    take: async work => {
      setBusy(true);
      setFailure(null);
      try {
        await work();
        return true;
      } catch (error) {
        setFailure(sentenceOf(error));
        return false;
      } finally {
        setBusy(false);
      }
    },
  };
}

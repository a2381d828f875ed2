import { useState } from 'preact/hooks';
import { failureSentence } from '../../data/api-client.ts';
import { text } from '../../text/text.ts';

export interface Asking {
  readonly busy: boolean;
  /** One sentence of what went wrong last; null where nothing did. */
  readonly failure: string | null;
  /** True when it was done. */
  readonly run: (work: () => Promise<void>) => Promise<boolean>;
}

/** One request at a time, and what came of the last. */
export function useRequest(): Asking {
  const [busy, setBusy] = useState(false);
  const [failure, setFailure] = useState<string | null>(null);
  return {
    busy,
    failure,
    run: async work => {
      setFailure(null);
      setBusy(true);
      try {
        await work();
        return true;
      } catch (error) {
        const t = text.value.accounts;
        setFailure(t.failed(failureSentence(error, t.noServer)));
        return false;
      } finally {
        setBusy(false);
      }
    },
  };
}

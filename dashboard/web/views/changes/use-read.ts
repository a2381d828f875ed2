import { useEffect, useState } from 'preact/hooks';
import { failureSentence } from '../../data/api-client.ts';
import { text } from '../../text/text.ts';

export interface Read<T> {
  readonly value: T | null;
  readonly failure: string | null;
  readonly again: () => void;
}

/** The sentence of a failed request. */
export const sentenceOf = (error: unknown): string => failureSentence(error, text.value.changes.noServer);

/** Reads when `key` changes and on demand; what was read stays until something newer comes. */
export function useRead<T>(key: string, read: () => Promise<T>): Read<T> {
  const [value, setValue] = useState<{ key: string; value: T } | null>(null);
  const [failure, setFailure] = useState<string | null>(null);
  const [times, setTimes] = useState(0);
  useEffect(() => {
    let left = false;
    read().then(
      now => {
        if (left) return;
        setValue({ key, value: now });
        setFailure(null);
      },
      (error: unknown) => {
        if (!left) setFailure(sentenceOf(error));
      },
    );
    return () => {
      left = true;
    };
    // `read` is made anew at each rendering; `key` says what it reads.
  }, [key, times]);
  return {
    value: value?.key === key ? value.value : null,
    failure,
    again: () => setTimes(n => n + 1),
  };
}

import { useEffect, useState } from 'preact/hooks';
import type { JointReview } from '#core/messages/api-review';
import { useApp } from '../../app-context.ts';
import { sentenceOf } from '../changes/use-read.ts';

export interface ReviewRead {
  readonly review: JointReview | null;
  readonly failure: string | null;
}

/**
 * A joint under review, read again when something was entered or recorded; what was read stays meanwhile, so that
 * nobody loses what they are typing.
 */
export function useReview(joint: string): ReviewRead {
  const { api, changes } = useApp();
  const [read, setRead] = useState<ReviewRead>({ review: null, failure: null });
  const version = changes.joints.value;
  useEffect(() => {
    let left = false;
    api.get<JointReview>(['joints', joint, 'review']).then(
      review => {
        if (!left) setRead({ review, failure: null });
      },
      (error: unknown) => {
        if (!left) setRead(known => ({ ...known, failure: sentenceOf(error) }));
      },
    );
    return () => {
      left = true;
    };
  }, [api, joint, version]);
  return read;
}

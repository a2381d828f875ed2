import { useState } from 'preact/hooks';
import type { EntryBody } from '#core/journal/entry';
import { useApp } from '../../app-context.ts';
import { text } from '../../text/text.ts';
import { sentenceOf } from '../changes/use-read.ts';
import { proposedShiftDate } from '../verify/check-entry.ts';
import type { People } from '../verify/use-people.ts';
import { isNamed, type Who } from '../verify/who-field.tsx';

export interface EntryDesk {
  readonly who: Who;
  readonly changeWho: (part: Partial<Who>) => void;
  /** Shown once it was tried without. */
  readonly whoError: string | null;
  readonly tried: boolean;
  readonly busy: boolean;
  readonly failure: string | null;
  /** Keeps the entry when it is complete and somebody is named; tells `done` then. */
  readonly send: (body: EntryBody | null, reason?: string) => Promise<void>;
}

/** Who enters it, what is wrong with it, and its way to the journal: the same for every small form. */
export function useEntry(people: People, done: () => void): EntryDesk {
  const { api, changes } = useApp();
  const [who, setWho] = useState<Who>({ who: people.lastWho, newName: '' });
  const [tried, setTried] = useState(false);
  const [busy, setBusy] = useState(false);
  const [failure, setFailure] = useState<string | null>(null);
  const named = isNamed(who, people.all);
  return {
    who,
    changeWho: part => setWho(now => ({ ...now, ...part })),
    whoError: tried && !named ? text.value.review.whoMissing : null,
    tried,
    busy,
    failure,
    send: async (body, reason) => {
      setTried(true);
      setFailure(null);
      if (body === null || !named) return;
      setBusy(true);
      try {
        const entry = await api.addEntry({
          author: await people.idOf(who),
          shiftDate: proposedShiftDate(new Date()),
          reason: reason ?? null,
          corrects: null,
          body,
        });
        changes.entered(entry);
        done();
      } catch (error) {
        setFailure(text.value.review.entryFailed(sentenceOf(error)));
        setBusy(false);
      }
    },
  };
}

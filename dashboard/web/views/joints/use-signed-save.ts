import { useEffect, useState } from 'preact/hooks';
import type { Entry, NewEntry } from '#core/journal/entry';
import { useApp } from '../../app-context.ts';
import { failureSentence } from '../../data/api-client.ts';
import { rememberedPerson, rememberPerson } from '../../data/remembered-person.ts';
import { text } from '../../text/text.ts';
import { proposedShiftDate } from '../verify/check-entry.ts';
import { useDraft } from '../verify/use-draft.ts';
import type { People } from '../verify/use-people.ts';
import { isNamed } from '../verify/who-field.tsx';
import { type Sign, signProblems } from './sign-block.tsx';

export type Signature = Pick<NewEntry, 'author' | 'shiftDate' | 'reason'>;

export interface SignedSave {
  readonly sign: Sign;
  readonly changeSign: (part: Partial<Sign>) => void;
  readonly problems: ReturnType<typeof signProblems>;
  readonly tried: boolean;
  readonly busy: boolean;
  readonly failure: string | null;
  /** Sends what `entry` makes of the signature, or shows what is missing where it is null; null where nothing was saved. */
  readonly save: (entry: ((by: Signature) => NewEntry) | null) => Promise<Entry | null>;
}

/** Signing and sending an entry, the same for every form. What is typed is kept in this tab until it is saved. */
export function useSignedSave(key: string, people: People, needsReason: boolean): SignedSave {
  const { api, changes, holds } = useApp();
  const [sign, changeSign, clearSign] = useDraft<Sign>(`${key}.sign`, () => ({
    who: people.lastWho || (rememberedPerson(localStorage)?.id ?? ''),
    newName: '',
    reason: '',
    shiftDate: proposedShiftDate(new Date()),
  }));
  const [tries, setTries] = useState(0);
  const [busy, setBusy] = useState(false);
  const [failure, setFailure] = useState<string | null>(null);
  const remembered = rememberedPerson(localStorage);
  // While the names cannot be read, who was here last can still enter.
  const named = isNamed(sign, people.all) || (sign.who !== '' && sign.who === remembered?.id);
  const problems = signProblems(sign, named, needsReason);

  useEffect(() => {
    if (tries > 0) document.querySelector<HTMLElement>('[aria-invalid="true"]')?.focus();
  }, [tries]);

  return {
    sign,
    changeSign,
    problems: tries === 0 ? {} : problems,
    tried: tries > 0,
    busy,
    failure,
    save: async entry => {
      setFailure(null);
      if (entry === null || Object.keys(problems).length > 0) {
        setTries(n => n + 1);
        return null;
      }
      setBusy(true);
      try {
        const author = await people.idOf(sign);
        changeSign({ who: author, newName: '' });
        const name = sign.newName.trim() === '' ? people.nameOf(author) : sign.newName.trim();
        rememberPerson(localStorage, { id: author, name });
        const reason = sign.reason.trim() === '' ? null : sign.reason.trim();
        const saved = await api.addEntry(entry({ author, shiftDate: sign.shiftDate, reason }));
        clearSign();
        holds.add(saved);
        changes.entered(saved);
        return saved;
      } catch (error) {
        const t = text.value.jointEntries;
        setFailure(t.failed(failureSentence(error, t.noServer)));
        return null;
      } finally {
        setBusy(false);
      }
    },
  };
}

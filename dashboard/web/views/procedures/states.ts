import { useEffect, useState } from 'preact/hooks';
import type { ProcedureState } from '#core/messages/api-journal';
import type { ProcedureStates } from '#core/messages/api-procedure';
import { useApp } from '../../app-context.ts';

export interface RevisionState {
  readonly state: ProcedureState;
  readonly at: string | null;
  readonly author: string | null;
  readonly reason: string | null;
}

const UNKNOWN: RevisionState = { state: 'unknown', at: null, author: null, reason: null };

export interface States {
  readonly of: (id: string, revision: number) => RevisionState;
  readonly reload: () => Promise<void>;
}

/** What the journal says of every revision; unknown until it is read, and where it cannot be. */
export function useStates(): States {
  const { api, changes } = useApp();
  const [all, setAll] = useState<ProcedureStates['states'] | null>(null);
  const reload = async (): Promise<void> => {
    try {
      setAll((await api.get<ProcedureStates>(['procedure-states'])).states);
    } catch {
      setAll(null);
    }
  };
  // Read when the view opens, and again whenever somebody approves or withdraws anything.
  const entry = changes.entry.value;
  const newest = entry?.body.kind === 'procedureStatus' ? entry.id : '';
  useEffect(() => void reload(), [api, newest]);
  return {
    of: (id, revision) => all?.find(one => one.id === id && one.revision === revision) ?? UNKNOWN,
    reload,
  };
}

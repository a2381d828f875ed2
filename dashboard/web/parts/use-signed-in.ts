import { useEffect } from 'preact/hooks';
import { useApp } from '../app-context.ts';
import type { RememberedPerson } from '../data/remembered-person.ts';

export interface SignedIn {
  /** The server has said who this is, or that it is nobody: then nobody is asked for a name. */
  readonly isKnown: boolean;
  readonly person: RememberedPerson | null;
}

/** Who is signed in; `who` of a form follows it. */
export function useSignedIn(who: string, take: (id: string) => void): SignedIn {
  const { session } = useApp();
  const person = session.person.value;
  const id = person?.id ?? null;
  useEffect(() => {
    if (id !== null && who !== id) take(id);
  }, [id, who]);
  return { isKnown: session.state.value !== null, person };
}

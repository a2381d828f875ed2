import { useEffect, useState } from 'preact/hooks';
import type { PeopleList } from '#core/messages/api-lists';
import { useApp } from '../../../app-context.ts';

export type Signer = PeopleList['people'][number];

const MAY_RULE: readonly Signer['roles'][number][] = ['inspector', 'reviewer'];

export interface Signers {
  /** Those whose role lets them rule. */
  readonly all: readonly Signer[];
  /** One was added, or has set a passphrase: shown at once. */
  readonly know: (signer: Signer) => void;
}

/** Who may rule about a joint: who is signed in, or, where the server cannot say who that is, any of them; and whether each has a passphrase to sign with. */
export function useSigners(): Signers {
  const { api, session } = useApp();
  const state = session.state.value;
  const [people, setPeople] = useState<readonly Signer[]>([]);
  useEffect(() => {
    api.get<PeopleList>(['people']).then(
      ({ people: all }) => setPeople(all),
      () => undefined,
    );
  }, [api]);
  return {
    all: people
      .filter(({ roles }) => roles.some(role => MAY_RULE.includes(role)))
      .filter(({ id }) => state === null || state.person?.id === id),
    know: signer => setPeople(known => [...known.filter(({ id }) => id !== signer.id), signer]),
  };
}

import { useEffect, useState } from 'preact/hooks';
import type { Person } from '#core/messages/api';
import { useApp } from '../../app-context.ts';
import { NEW_PERSON } from '../assign/assign-form.ts';
import type { Who } from './who-field.tsx';

const WHO_KEY = 'girthlog.who';

export interface People {
  readonly all: readonly Person[];
  readonly nameOf: (id: string) => string;
  /** The id of who is named; a new name is entered first. */
  readonly idOf: (who: Who) => Promise<string>;
  /** Who last saved something in this tab. */
  readonly lastWho: string;
}

/** The people of this dashboard, and who was last at this screen (kept for as long as the tab lives). */
export function usePeople(): People {
  const { api } = useApp();
  const [all, setAll] = useState<readonly Person[]>([]);
  useEffect(() => {
    api.people().then(setAll, () => setAll([]));
  }, [api]);
  return {
    all,
    nameOf: id => all.find(person => person.id === id)?.name ?? id,
    idOf: async ({ who, newName }) => {
      if (who !== NEW_PERSON) {
        sessionStorage.setItem(WHO_KEY, who);
        return who;
      }
      const person = await api.addPerson({ name: newName.trim(), roles: ['weldSetter'] });
      setAll(known => [...known, person]);
      sessionStorage.setItem(WHO_KEY, person.id);
      return person.id;
    },
    lastWho: sessionStorage.getItem(WHO_KEY) ?? '',
  };
}

import type { Person } from '#core/messages/api';

const KEY = 'girthlog.person';

export type RememberedPerson = Pick<Person, 'id' | 'name'>;

/** Who last entered something on this device; null where nobody did. */
export function rememberedPerson(storage: Pick<Storage, 'getItem'>): RememberedPerson | null {
  try {
    const kept = JSON.parse(storage.getItem(KEY) ?? 'null') as Partial<RememberedPerson> | null;
    return typeof kept?.id === 'string' && typeof kept.name === 'string'
      ? { id: kept.id, name: kept.name }
      : null;
  } catch {
    return null;
  }
}

export function rememberPerson(storage: Pick<Storage, 'setItem'>, { id, name }: RememberedPerson): void {
  try {
    storage.setItem(KEY, JSON.stringify({ id, name }));
  } catch {
    // Storage is switched off in this browser: the name is asked for each time.
  }
}

export function forgetPerson(storage: Pick<Storage, 'removeItem'>): void {
  try {
    storage.removeItem(KEY);
  } catch {
    // Then it was never kept.
  }
}

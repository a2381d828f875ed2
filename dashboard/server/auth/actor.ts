/** Who asks: a person with a session, a program with a token, or somebody of whom nothing is known. */
import type { Person } from '#core/messages/api';
import type { Right } from '#core/messages/api-account';
import type { LiveSession } from './sessions.ts';
import { mayDo, WHILE_IDLE } from './who-may.ts';

export type Actor =
  | {
      readonly kind: 'person';
      readonly person: Person;
      readonly session: LiveSession;
      readonly idle: boolean;
    }
  /** It enters in the name of the person that it says. */
  | { readonly kind: 'program'; readonly name: string; readonly rights: ReadonlySet<Right> }
  | { readonly kind: 'anyone'; readonly rights: ReadonlySet<Right> };

export function actorMay(actor: Actor, right: Right): boolean {
  if (actor.kind !== 'person') return actor.rights.has(right);
  return mayDo(actor.person, right) && (!actor.idle || WHILE_IDLE.has(right));
}

/** As the log of accounts names who did something. */
export function actorName(actor: Actor): string | null {
  if (actor.kind === 'person') return actor.person.id;
  return actor.kind === 'program' ? `program ${actor.name}` : null;
}

/** What a handler is told of who asks, beside what is asked. */
export interface Asker {
  readonly actor: Actor;
  readonly address: string;
  readonly device: string;
}
